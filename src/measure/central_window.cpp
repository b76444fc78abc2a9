#include "central_window.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/statistics.hpp"
#include "noise_variance.hpp"

namespace firmus::measure {
namespace {

constexpr double margin_share = 0.2;    ///< of the note, left out at either end
constexpr double closed_db = 8;         ///< a consonant or closed mouth lies this far below the note's median level
constexpr double release_s = 0.03;      ///< a fall this near the end is the note's own release
constexpr double se_floor_cents = 0.1;  ///< rounding, and leakage between harmonics in a clean tone

/// Errors of the decoded boundaries and their shares, measured against exact ones (simulated voices, seeds 11 and 12).
/// The end of a note is rarely early, and late by as much as a consonant.
struct BoundaryShift {
  double shift_s = 0, share = 0;
};
constexpr std::array<BoundaryShift, 4> onset_shifts{{{-0.025, 0.15}, {-0.010, 0.35}, {0.012, 0.35}, {0.025, 0.15}}};
constexpr std::array<BoundaryShift, 4> end_shifts{{{-0.085, 0.15}, {-0.040, 0.2}, {-0.020, 0.35}, {0.015, 0.3}}};
constexpr double largest_shift_share = 0.25;  ///< of the note's length
/// Weights of the three causes in the variance, fitted together on the same voices and on simulated notes.
constexpr double onset_variance_factor = 0.9, end_variance_factor = 0.45, noise_variance_factor = 0.55;
constexpr std::size_t noise_lag_frames = 4;  ///< 20 ms

double square(double x) {
  return x * x;
}

double median_over(const std::vector<double>& cents, Part part) {
  return median(
      {cents.begin() + static_cast<std::ptrdiff_t>(part.from), cents.begin() + static_cast<std::ptrdiff_t>(part.to)});
}

Part all_of(const NoteSeries& series) {
  return {0, series.size()};
}

/// Variance of the median from errors of the boundaries.
class BoundaryUncertainty {
 public:
  BoundaryUncertainty(const NoteSeries& series, const std::vector<double>& cents, double onset_s, double end_s)
      : series_(series), cents_(cents), onset_s_(onset_s), end_s_(end_s) {}
  double variance(double median_cents) const {
    const double most_s = largest_shift_share * (end_s_ - onset_s_);
    double variance = 0;
    for (const BoundaryShift& shift : onset_shifts)
      variance += onset_variance_factor * shift.share *
                  squared_change(median_cents, std::clamp(shift.shift_s, -most_s, most_s), 0);
    for (const BoundaryShift& shift : end_shifts)
      variance += end_variance_factor * shift.share *
                  squared_change(median_cents, 0, std::clamp(shift.shift_s, -most_s, most_s));
    return variance;
  }

 private:
  double squared_change(double median_cents, double onset_shift_s, double end_shift_s) const {
    const Part window = central_window(series_, all_of(series_), onset_s_ + onset_shift_s, end_s_ + end_shift_s);
    return window.size() > 0 ? square(median_over(cents_, window) - median_cents) : 0;
  }
  const NoteSeries& series_;
  const std::vector<double>& cents_;
  double onset_s_, end_s_;
};

}  // namespace

double vowel_end(const NoteSeries& series, double end_s) {
  const double closed_at_db = median(series.level_db) - closed_db;
  std::size_t last = series.size();
  while (last > series.size() / 2 && series.level_db[last - 1] < closed_at_db) --last;
  if (last == 0) return end_s;
  const double vowel_end_s = series.time_s[last - 1] + frame_s;
  return vowel_end_s < end_s - release_s ? vowel_end_s : end_s;
}

Part central_window(const NoteSeries& series, Part within, double onset_s, double end_s) {
  const double margin_s = margin_share * (end_s - onset_s);
  Part window = within;
  while (window.from < window.to && series.time_s[window.from] < onset_s + margin_s) ++window.from;
  while (window.to > window.from && series.time_s[window.to - 1] > end_s - margin_s) --window.to;
  return window;
}

TrimmedMedian trimmed_median(const NoteSeries& series, const std::vector<double>& cents, double onset_s, double end_s) {
  const Part window = central_window(series, all_of(series), onset_s, end_s);
  const double centre = median_over(cents, window);
  const std::size_t lag = std::min(noise_lag_frames, window.size() / 4);
  const double variance = square(se_floor_cents) + BoundaryUncertainty(series, cents, onset_s, end_s).variance(centre) +
                          noise_variance_factor * noise_variance_of_mean(cents, window, lag);
  return {centre, std::sqrt(variance)};
}

}  // namespace firmus::measure
