#include "robust.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::habits {

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(values.begin(), middle));
}

double spread_around_zero(std::span<const double> values) {
  std::vector<double> sizes(values.begin(), values.end());
  for (double& size : sizes) size = std::fabs(size);
  return 1.4826 * median(std::move(sizes));
}

double theil_sen_slope(std::span<const double> x, std::span<const double> y) {
  constexpr std::size_t all_pairs_up_to = 400;
  const std::size_t step = 1 + x.size() / (all_pairs_up_to + 1);
  std::vector<double> slopes;
  slopes.reserve(x.size() * x.size() / step / 2 + x.size());
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t j = i + 1 + i % step; j < x.size(); j += step)
      if (x[j] != x[i]) slopes.push_back((y[j] - y[i]) / (x[j] - x[i]));
  return median(std::move(slopes));
}

MeanAndSpread mean_and_spread(std::span<const double> values) {
  MeanAndSpread result;
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

}  // namespace firmus::habits
