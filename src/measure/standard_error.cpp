#include "standard_error.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::measure {
namespace {

/// How far the true ends of the steady part may lie from those chosen (standard deviation): two listeners who mark the
/// same note differ by 10 to 20 ms. Where a scoop or glide was cut, its end is less sharp. Checked by the coverage
/// tests.
constexpr double edge_doubt_s = 0.018, cut_doubt_s = 0.030;
constexpr double cut_from_spreads = 3.5,
                 cut_doubt_fades_spreads = 1.5;  ///< a deviation just over the limit may be wander
constexpr double floor_cents = 0.05;  ///< rounding of what is reported, and leakage between harmonics in a clean tone

double mean_of(const std::vector<double>& values, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += values[i];
  return sum / static_cast<double>(to - from);
}

double square(double x) {
  return x * x;
}

/// Variance of the mean from doubt about both ends, by trimming 10 and 20 ms inside.
double variance_of_choice(const std::vector<double>& cents, const SteadyPart& steady, double centre) {
  const Part part = steady.part;
  const double start_doubt = part.from > steady.sounding.from ? cut_doubt_s : edge_doubt_s;
  const double end_doubt = part.to < steady.sounding.to ? cut_doubt_s : edge_doubt_s;
  double variance = 0;
  for (const std::size_t trim : {2U, 4U}) {
    if (part.size() < 3 * trim) continue;
    const double trimmed_s = static_cast<double>(trim) * frame_s;
    const double left = mean_of(cents, part.from + trim, part.to) - centre;
    const double right = mean_of(cents, part.from, part.to - trim) - centre;
    variance += (square(left * start_doubt) + square(right * end_doubt)) / square(trimmed_s) / 2;
  }
  return variance;
}

/// Variance from the chance that what was cut was honest wander.
double variance_of_cuts(const std::vector<double>& cents, const SteadyPart& steady, double centre) {
  const auto doubt = [&](std::size_t from, std::size_t to, double spreads) {
    const double chance = 0.5 * std::exp(-(spreads - cut_from_spreads) / cut_doubt_fades_spreads);
    return std::min(chance, 0.5) * square(mean_of(cents, from, to) - centre);
  };
  double variance = 0;
  if (steady.part.from > steady.sounding.from)
    variance += doubt(steady.sounding.from, steady.part.to, steady.start_away_spreads);
  if (steady.part.to < steady.sounding.to)
    variance += doubt(steady.part.from, steady.sounding.to, steady.end_away_spreads);
  return variance;
}

/// Variance from the errors of single frames, which show as roughness. The frames overlap, so about eight tell one
/// thing.
double variance_of_noise(const std::vector<double>& cents, Part part) {
  double rough = 0;
  for (std::size_t i = part.from + 1; i + 1 < part.to; ++i)
    rough += square(cents[i - 1] - 2 * cents[i] + cents[i + 1]) / 6;
  const double length = static_cast<double>(part.size());
  return rough / std::max(length - 2, 1.0) * 8 / length;
}

}  // namespace

double standard_error(const std::vector<double>& still_cents, const SteadyPart& steady) {
  const double centre = mean_of(still_cents, steady.part.from, steady.part.to);
  return std::sqrt(square(floor_cents) + variance_of_choice(still_cents, steady, centre) +
                   variance_of_cuts(still_cents, steady, centre) + variance_of_noise(still_cents, steady.part));
}

}  // namespace firmus::measure
