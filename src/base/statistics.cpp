#include "base/statistics.hpp"

#include <algorithm>
#include <cmath>

namespace firmus {

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

double mad_sigma(std::span<const double> values, double centre) {
  std::vector<double> away;
  away.reserve(values.size());
  for (const double value : values) away.push_back(std::abs(value - centre));
  return 1.4826 * median(std::move(away));
}

double biweight_centre(std::span<const double> values, double least_spread) {
  double centre = median({values.begin(), values.end()});
  const double reach = 4.685 * std::max(mad_sigma(values, centre), least_spread);
  for (int round = 0; round < 10; ++round) {
    double sum = 0, weight = 0;
    for (const double value : values) {
      const double u = (value - centre) / reach;
      if (std::abs(u) >= 1) continue;
      const double w = (1 - u * u) * (1 - u * u);
      sum += w * value, weight += w;
    }
    if (weight <= 0) break;
    centre = sum / weight;
  }
  return centre;
}

namespace {

std::vector<double> slopes_of_pairs(std::span<const double> x, std::span<const double> y) {
  constexpr std::size_t all_pairs_up_to = 400;
  const std::size_t n = x.size(), step = 1 + n / (all_pairs_up_to + 1);
  std::vector<double> slopes;
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1 + i % step; j < n; j += step)
      if (x[j] != x[i]) slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
  return slopes;
}

}  // namespace

double theil_sen_slope(std::span<const double> x, std::span<const double> y) {
  return median(slopes_of_pairs(x, y));
}

SlopeEstimate theil_sen(std::span<const double> x, std::span<const double> y, double variance_factor) {
  std::vector<double> slopes = slopes_of_pairs(x, y);
  if (slopes.empty()) return {};
  std::sort(slopes.begin(), slopes.end());
  const auto n = static_cast<double>(x.size()), pairs = static_cast<double>(slopes.size());
  // Kendall's S has variance n(n-1)(2n+5)/18; ranks (N -+ 1.96 sd)/2 of the slopes bound the interval (Sen 1968).
  const double deviation = std::sqrt(variance_factor * n * (n - 1) * (2 * n + 5) / 18);
  const double share = 1.96 * deviation / (n * (n - 1) / 2);
  const auto at = [&](double place) { return slopes[static_cast<std::size_t>(std::clamp(place, 0.0, pairs - 1))]; };
  return {median(slopes), {at(std::floor(pairs * (1 - share) / 2)), at(std::ceil(pairs * (1 + share) / 2))}};
}

MeanAndSd mean_and_sd(std::span<const double> values) {
  MeanAndSd result;
  if (values.empty()) return result;
  const auto n = static_cast<double>(values.size());
  double sum = 0;
  for (const double value : values) sum += value;
  result.mean = sum / n;
  double rest = 0, squares = 0;
  for (const double value : values) {
    rest += value - result.mean;
    squares += (value - result.mean) * (value - result.mean);
  }
  result.mean += rest / n;
  if (values.size() > 1) result.sd = std::sqrt((squares - rest * rest / n) / (n - 1));
  return result;
}

}  // namespace firmus
