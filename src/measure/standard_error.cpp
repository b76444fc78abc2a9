#include "standard_error.hpp"

#include <algorithm>
#include <cmath>

#include "noise_variance.hpp"

namespace firmus::measure {
namespace {

/// How far the true ends of the steady part may lie from those chosen (standard deviation): two listeners who mark the
/// same note differ by 10 to 20 ms. Where a scoop or glide was cut, its end is less sharp. Checked by the coverage
/// tests.
constexpr double edge_doubt_s = 0.018, cut_doubt_s = 0.020;
constexpr double scoop_fades_spreads = 0.9,
                 wander_fades_spreads = 0.8;  ///< how fast doubt about a cut goes, off the limit
constexpr std::size_t fewest_frames_for_error = 6;
constexpr double error_floor_cents =
    0.05;  ///< rounding of what is reported, and leakage between harmonics in a clean tone

double mean_of(const std::vector<double>& values, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += values[i];
  return sum / static_cast<double>(to - from);
}

double squared(double x) {
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
    variance += (squared(left * start_doubt) + squared(right * end_doubt)) / squared(trimmed_s) / 2;
  }
  return variance;
}

/// Chance that an end was taken for the wrong thing: even at the limit, fading on both sides of it.
double chance_of_wrong_cut(double z_score) {
  const double fades = z_score < cut_from_z_score ? wander_fades_spreads : scoop_fades_spreads;
  return 0.5 * std::exp(-std::abs(z_score - cut_from_z_score) / fades);
}

/// Variance from the chance that what was cut was honest wander, or what was left in was a scoop.
double variance_of_cuts(const std::vector<double>& cents, const SteadyPart& steady, double centre) {
  const auto moved_by = [&](std::size_t from, std::size_t to) {
    return to > from + fewest_frames_for_error ? squared(mean_of(cents, from, to) - centre) : 0.0;
  };
  const bool start_cut = steady.part.from == steady.settled.from, end_cut = steady.part.to == steady.settled.to;
  return chance_of_wrong_cut(steady.start_z_score) *
             moved_by(start_cut ? steady.sounding.from : steady.settled.from, steady.part.to) +
         chance_of_wrong_cut(steady.end_z_score) *
             moved_by(steady.part.from, end_cut ? steady.sounding.to : steady.settled.to);
}

}  // namespace

double standard_error(const std::vector<double>& vibrato_removed_cents, const SteadyPart& steady) {
  const double centre = mean_of(vibrato_removed_cents, steady.part.from, steady.part.to);
  return std::sqrt(squared(error_floor_cents) + variance_of_choice(vibrato_removed_cents, steady, centre) +
                   variance_of_cuts(vibrato_removed_cents, steady, centre) +
                   noise_variance_of_mean(vibrato_removed_cents, steady.part, 1));
}

}  // namespace firmus::measure
