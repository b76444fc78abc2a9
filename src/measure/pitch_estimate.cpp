#include "pitch_estimate.hpp"

#include <algorithm>
#include <cmath>

#include "central_window.hpp"
#include "short_vibrato.hpp"
#include "steady_part.hpp"
#include "vibrato_tracker.hpp"

namespace firmus::measure {
namespace {

constexpr double shortest_fit_s = 0.35;  ///< below, under two cycles, the standard error of a fit is too small
/// Vibrato is removed where it is regular: where what is left varies by no more than this share of what was removed.
/// Irregular vibrato is smoothed instead (real takes by beginners against an independent measurement: errors of 1.4
/// cents, median, and 6.0, 90 %, with every oscillation removed; 0.9 and 4.0 this way; simulated voices, seed 11).
constexpr double residual_share_of_fit = 0.45, residual_share_of_track = 0.36;
constexpr double ramp_width = 0.2;  ///< of those shares: within it vibrato is removed in part
/// What a fitted vibrato leaves moves the median too (simulated notes; simulated voices, seeds 11 and 12).
constexpr double vibrato_se_factor = 1.4;
/// Share of the change that removing the tracked vibrato makes to the median. It counts where the vibrato stays in,
/// being too irregular, and where it is removed, since it may be none (the loop of a sampled instrument). The tracker's
/// own standard error has a factor too (simulated voices in 14 conditions, seeds 31 to 34).
constexpr double track_se_factor = 0.47, model_se_factor = 0.9;
constexpr double smoothing_se_factor = 0.5;  ///< of the change that smoothing makes to the median (seeds 11 and 12)
/// A steady voice flutters by about a cent from one moment to the next, and a median bears that. Larger flutter is
/// smoothed first, over about the window of a difference function.
constexpr double small_flutter_cents = 1.3, large_flutter_cents = 1.9, smoothing_window_s = 0.06;

std::vector<double> without_vibrato(const NoteSeries& series, const std::optional<VibratoFit>& vibrato) {
  std::vector<double> cents = series.cents;
  if (vibrato)
    for (std::size_t i = 0; i < cents.size(); ++i) cents[i] -= vibrato->at(series.time_s[i]);
  return cents;
}

Part inner_two_thirds(const NoteSeries& series) {
  const std::size_t cut = series.size() / 6;
  return {cut, series.size() - cut};
}

/// Standard error that a fitted vibrato leaves in the mean over the part.
double vibrato_se(const NoteSeries& series, Part part, const VibratoFit& vibrato) {
  const double length_s = series.time_s[part.to - 1] - series.time_s[part.from];
  return length_s >= shortest_fit_s ? vibrato_mean_se(vibrato, series, part) : short_vibrato_mean_se(series, part);
}

std::vector<double> difference(std::vector<double> values, const std::vector<double>& others) {
  for (std::size_t i = 0; i < values.size(); ++i) values[i] -= others[i];
  return values;
}

/// Mean over `smoothing_window_s` about each frame.
std::vector<double> moving_average(const NoteSeries& series, const std::vector<double>& cents) {
  std::vector<double> means(cents.size());
  std::size_t from = 0, to = 0;
  double sum = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) {
    while (to < cents.size() && series.time_s[to] <= series.time_s[i] + smoothing_window_s / 2 + frame_s / 2)
      sum += cents[to++];
    while (series.time_s[from] < series.time_s[i] - smoothing_window_s / 2 - frame_s / 2) sum -= cents[from++];
    means[i] = sum / static_cast<double>(to - from);
  }
  return means;
}

/// 0 up to `from`, 1 from `to` on, a straight line between: no threshold moves a pitch by a step.
double linear_ramp(double value, double from, double to) {
  return std::clamp((value - from) / (to - from), 0.0, 1.0);
}

/// Share of an oscillation that is removed, from f0 before and after its removal: 1 where it is regular.
double removed_share(const NoteSeries& series, const std::vector<double>& before, const std::vector<double>& after,
                     Part part, double largest_residual_share) {
  const double residual = deviation_over(moving_average(series, after), part),
               removed = deviation_over(difference(before, after), part);
  return removed > 0 ? 1 - linear_ramp(residual / removed, largest_residual_share - ramp_width / 2,
                                       largest_residual_share + ramp_width / 2)
                     : 0;
}

double cycles_in(const NoteSeries& series, double rate_hz, Part part) {
  return rate_hz * (series.time_s[part.to - 1] - series.time_s[part.from]);
}

/// What the posterior standard error of a usual vibrato lacks in a note of few cycles, where scoop and glide are as
/// long as a cycle (simulated wobble and vibrato of 80 cents, seeds 31 and 32).
double few_cycles_factor(const NoteSeries& series, Part part, double rate_hz) {
  const double cycles = cycles_in(series, rate_hz, part);
  return std::clamp(2 / (cycles * cycles), 1.0, 4.0);
}

/// `share` of the way from one contour to the other.
std::vector<double> interpolate(const std::vector<double>& from, const std::vector<double>& to, double share) {
  std::vector<double> values = from;
  for (std::size_t i = 0; i < values.size(); ++i) values[i] += share * (to[i] - from[i]);
  return values;
}

/// f0 smoothed as far as it flutters within the window.
std::vector<double> smooth_flutter(const NoteSeries& series, const std::vector<double>& cents, Part window) {
  if (window.size() == 0) return cents;
  const std::vector<double> means = moving_average(series, cents);
  const double flutter_cents = deviation_over(difference(cents, means), window);
  return interpolate(cents, means, linear_ramp(flutter_cents, small_flutter_cents, large_flutter_cents));
}

/// f0 of a note with its regular vibrato removed, and what the removal leaves uncertain.
struct VibratoReduced {
  /// f0 with all of the tracked vibrato, and with none of it.
  struct WithAndWithoutVibrato {
    std::vector<double> with, without;
  };
  std::vector<double> cents;
  std::optional<WithAndWithoutVibrato> tracked;  ///< none where no vibrato was tracked
  double track_se_cents = 0;
};

VibratoReduced reduce_vibrato(PitchEstimate& estimate, const NoteSeries& series, Part window,
                              const std::optional<UsualVibrato>& usual) {
  const Part steady = estimate.steady;
  std::vector<double>& vibrato_removed = estimate.vibrato_removed_cents;
  // A note of few cycles does not show whether its vibrato is regular; the singer's other notes do.
  const double fit_share =
      !estimate.vibrato ? 0
                        : removed_share(series, series.cents, vibrato_removed, steady, residual_share_of_fit) *
                              (usual ? 1 : linear_ramp(cycles_in(series, estimate.vibrato->rate_hz, steady), 1.5, 2.5));
  VibratoReduced reduced{interpolate(series.cents, vibrato_removed, fit_share), {}, 0};
  const VibratoTrack track = track_vibrato(series, reduced.cents, steady, window, usual);
  reduced.track_se_cents = track.mean_se_cents * (usual ? few_cycles_factor(series, steady, usual->rate_hz) : 1);
  if (track.cents.empty()) return reduced;
  std::vector<double> without = difference(reduced.cents, track.cents);
  const double share = !track.certain ? 0
                       : usual        ? 1
                                      : removed_share(series, reduced.cents, without, steady, residual_share_of_track);
  if (track.certain) vibrato_removed = without, reduced.track_se_cents *= model_se_factor;
  reduced.tracked = VibratoReduced::WithAndWithoutVibrato{std::move(reduced.cents), std::move(without)};
  reduced.cents = interpolate(reduced.tracked->with, reduced.tracked->without, share);
  return reduced;
}

/// The median over the central window, with everything that enters its standard error.
void add_central_median(PitchEstimate& estimate, const NoteSeries& series, double onset_s, double end_s,
                        const std::optional<UsualVibrato>& usual) {
  const Part window = central_window(series, estimate.steady, onset_s, end_s);
  const double fit_se = estimate.vibrato ? vibrato_se(series, estimate.steady, *estimate.vibrato) : 0;
  const VibratoReduced reduced = reduce_vibrato(estimate, series, window, usual);
  // Over the whole central window, not its steady part: a median bears a glide, and in a short note most of the window
  // may look like one.
  const auto smoothed_median = [&](const std::vector<double>& cents) {
    return trimmed_median(series, smooth_flutter(series, cents, window), onset_s, end_s);
  };
  const TrimmedMedian smoothed = smoothed_median(reduced.cents);
  const TrimmedMedian unsmoothed = trimmed_median(series, reduced.cents, onset_s, end_s);
  double se = std::max(smoothed.se_cents, unsmoothed.se_cents);
  if (estimate.vibrato) se = std::hypot(vibrato_se_factor * se, fit_se);
  se = std::hypot(se, reduced.track_se_cents, smoothing_se_factor * (smoothed.cents - unsmoothed.cents));
  if (const auto& tracked = reduced.tracked) {
    const double change_cents = smoothed_median(tracked->with).cents - smoothed_median(tracked->without).cents;
    se = std::hypot(se, track_se_factor * change_cents);
  }
  estimate.cents = smoothed.cents;
  estimate.se_cents = se;
}

double mean_over(const std::vector<double>& values, Part part) {
  double sum = 0;
  for (std::size_t i = part.from; i < part.to; ++i) sum += values[i];
  return sum / static_cast<double>(part.size());
}

}  // namespace

double deviation_over(const std::vector<double>& values, Part part) {
  const double mean = mean_over(values, part);
  double sum = 0;
  for (std::size_t i = part.from; i < part.to; ++i) sum += (values[i] - mean) * (values[i] - mean);
  return std::sqrt(sum / static_cast<double>(part.size()));
}

std::optional<PitchEstimate> estimate_note_pitch(const NoteSeries& series, double onset_s, double end_s,
                                                 const std::optional<UsualVibrato>& usual) {
  const double vowel_end_s = vowel_end(series, end_s);
  if (central_window(series, {0, series.size()}, onset_s, vowel_end_s).size() < fewest_window_frames)
    return std::nullopt;
  PitchEstimate estimate;
  // Vibrato and steady part depend on each other: each is found again with the other known.
  estimate.steady = inner_two_thirds(series);
  for (int round = 0; round < 2; ++round) {
    estimate.vibrato = fit_vibrato(series, estimate.steady, usual);
    estimate.steady = find_steady_part(series, without_vibrato(series, estimate.vibrato));
  }
  estimate.vibrato = fit_vibrato(series, estimate.steady, usual);
  estimate.vibrato_removed_cents = without_vibrato(series, estimate.vibrato);
  add_central_median(estimate, series, onset_s, vowel_end_s, usual);
  return estimate;
}

}  // namespace firmus::measure
