#include "middle.hpp"

#include <algorithm>
#include <cmath>

#include "robust.hpp"

namespace firmus::measure {
namespace {

constexpr double margin_share = 0.2;      ///< left out at either end
constexpr std::size_t fewest_frames = 8;  ///< 40 ms
constexpr double edge_doubt_s =
    0.032;  ///< two listeners mark an onset 10 to 20 ms apart, and medians move in leaps (coverage tests)
constexpr double floor_cents = 0.1;         ///< rounding, and leakage between harmonics in a clean tone
constexpr double frames_that_tell_one = 8;  ///< neighbouring frames overlap
constexpr double median_for_mean = 1.57;    ///< pi / 2: variance of a median against that of a mean

double square(double x) {
  return x * x;
}

double median_over(const std::vector<double>& cents, Part part) {
  return median(
      {cents.begin() + static_cast<std::ptrdiff_t>(part.from), cents.begin() + static_cast<std::ptrdiff_t>(part.to)});
}

Part middle_of(const NoteSeries& series, Part steady, double onset_s, double end_s) {
  const double margin_s = margin_share * (end_s - onset_s);
  Part middle = steady;
  while (middle.from < middle.to && series.time_s[middle.from] < onset_s + margin_s) ++middle.from;
  while (middle.to > middle.from && series.time_s[middle.to - 1] > end_s - margin_s) --middle.to;
  return middle;
}

/// How the median moves when both ends are moved, each by 15 and 30 ms either way (a fifth of it at most) within the
/// steady part.
double variance_of_choice(const std::vector<double>& cents, Part middle, Part steady) {
  double variance = 0;
  for (const std::size_t most : {3U, 6U}) {
    const std::size_t by = std::min<std::size_t>(most, middle.size() / 5);
    const std::size_t in_from = std::min(middle.from + by, middle.to - 4),
                      in_to = std::max(middle.to - by, middle.from + 4);
    const std::size_t out_from = std::max(middle.from - std::min(middle.from, by), steady.from);
    const std::size_t out_to = std::min(middle.to + by, steady.to);
    const double start = (median_over(cents, {in_from, middle.to}) - median_over(cents, {out_from, middle.to})) /
                         (static_cast<double>(in_from - out_from) * frame_s);
    const double end = (median_over(cents, {middle.from, in_to}) - median_over(cents, {middle.from, out_to})) /
                       (static_cast<double>(out_to - in_to) * frame_s);
    variance += (square(start * edge_doubt_s) + square(end * edge_doubt_s)) / 2;
  }
  return variance;
}

double variance_of_noise(const std::vector<double>& cents, Part part) {
  double rough = 0;
  for (std::size_t i = part.from + 1; i + 1 < part.to; ++i)
    rough += square(cents[i - 1] - 2 * cents[i] + cents[i + 1]) / 6;
  const double length = static_cast<double>(part.size());
  return median_for_mean * rough / std::max(length - 2, 1.0) * frames_that_tell_one / length;
}

}  // namespace

std::optional<MiddleCentre> middle_centre(const NoteSeries& series, const std::vector<double>& still_cents, Part steady,
                                          double onset_s, double end_s) {
  const Part middle = middle_of(series, steady, onset_s, end_s);
  if (middle.size() < fewest_frames) return std::nullopt;
  const double variance =
      square(floor_cents) + variance_of_choice(still_cents, middle, steady) + variance_of_noise(still_cents, middle);
  return MiddleCentre{median_over(still_cents, middle), std::sqrt(variance)};
}

}  // namespace firmus::measure
