#include "pitch_estimate.hpp"

#include <algorithm>
#include <cmath>

#include "central_window.hpp"
#include "short_vibrato.hpp"
#include "standard_error.hpp"
#include "steady_part.hpp"
#include "vibrato_tracker.hpp"

namespace firmus::measure {
namespace {

constexpr double shortest_fit_s = 0.35;    ///< under two cycles of vibrato a fit is not to be trusted
constexpr double longest_unseen_s = 0.45;  ///< in a longer part vibrato that matters is seen
/// Vibrato is taken off where it is regular: what is left moves by no more than this share of what goes. A wobble is
/// averaged instead (real takes by beginners against an independent measurement: errors of 1.4 and 6.0 cents, median
/// and 90 %, with every swing taken off, 0.9 and 4.0 so; voices with exact truth, seed 11).
constexpr double left_by_fit = 0.45, left_by_track = 0.36;
constexpr double ramp_share = 0.2;  ///< so much about it, it is taken off in part
/// What a fitted vibrato leaves moves the median too (coverage tests; voices with exact
/// truth, seeds 11 and 12).
constexpr double vibrato_se_factor = 1.4;
/// By so much of what a swing moves the median, the centre is in doubt: where it is left in, since it is too irregular
/// to be taken off, and where it is taken off, since it may be no vibrato (the loop of a sampled instrument). What its
/// model says of its own doubt counts for so much (voices in 14 conditions, seeds 31 to 34).
constexpr double track_se_factor = 0.47, model_se_factor = 0.9;
constexpr double smoothing_se_factor = 0.5;  ///< of how far averaging moves a wobble (seeds 11 and 12)
/// A voice held still flutters by a cent or so from one moment to the next, and a median bears that. What wobbles by
/// more is averaged first, over about what a difference function spans.
constexpr double steady_wobble_cents = 1.3, full_wobble_cents = 1.9, average_span_s = 0.06;

std::vector<double> without_vibrato(const NoteSeries& series, const std::optional<VibratoFit>& vibrato) {
  std::vector<double> vibrato_removed = series.cents;
  if (vibrato)
    for (std::size_t i = 0; i < vibrato_removed.size(); ++i) vibrato_removed[i] -= vibrato->at(series.time_s[i]);
  return vibrato_removed;
}

Part inside_of(const NoteSeries& series) {
  const std::size_t cut = series.size() / 6;
  return {cut, series.size() - cut};
}

/// From the fit over whole cycles where there are some, else weighed.
VibratoMean vibrato_in_mean(const NoteSeries& series, Part part, const std::optional<VibratoFit>& vibrato) {
  const double length_s = series.time_s[part.to - 1] - series.time_s[part.from];
  if (vibrato && length_s >= shortest_fit_s) return vibrato_mean(*vibrato, series, part);
  return length_s < longest_unseen_s ? weigh_short_vibrato(series, part) : VibratoMean{};
}

std::vector<double> difference(std::vector<double> values, const std::vector<double>& others) {
  for (std::size_t i = 0; i < values.size(); ++i) values[i] -= others[i];
  return values;
}

/// Mean of f0 over `average_span_s` about each frame.
std::vector<double> moving_average(const NoteSeries& series, const std::vector<double>& cents) {
  std::vector<double> means(cents.size());
  std::size_t from = 0, to = 0;
  double sum = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) {
    while (to < cents.size() && series.time_s[to] <= series.time_s[i] + average_span_s / 2 + frame_s / 2)
      sum += cents[to++];
    while (series.time_s[from] < series.time_s[i] - average_span_s / 2 - frame_s / 2) sum -= cents[from++];
    means[i] = sum / static_cast<double>(to - from);
  }
  return means;
}

/// 0 up to `from`, 1 from `to` on: a little more or less never moves a centre by a step.
double linear_ramp(double value, double from, double to) {
  return std::clamp((value - from) / (to - from), 0.0, 1.0);
}

/// How much of what goes is taken off: all where it is regular, that is, where little is left.
double removed_share(const NoteSeries& series, const std::vector<double>& before, const std::vector<double>& after,
                     Part part, double most_left) {
  const double left = deviation_over(moving_average(series, after), part),
               gone = deviation_over(difference(before, after), part);
  return gone > 0 ? 1 - linear_ramp(left / gone, most_left - ramp_share / 2, most_left + ramp_share / 2) : 0;
}

double cycles_in(const NoteSeries& series, const VibratoFit& vibrato, Part part) {
  return vibrato.rate_hz * (series.time_s[part.to - 1] - series.time_s[part.from]);
}

/// `share` of the way from one line to the other.
std::vector<double> interpolate(const std::vector<double>& from, const std::vector<double>& to, double share) {
  std::vector<double> line = from;
  for (std::size_t i = 0; i < line.size(); ++i) line[i] += share * (to[i] - from[i]);
  return line;
}

std::vector<double> smooth_wobble(const NoteSeries& series, const std::vector<double>& cents, Part middle) {
  if (middle.size() == 0) return cents;
  const std::vector<double> means = moving_average(series, cents);
  return interpolate(
      cents, means,
      linear_ramp(deviation_over(difference(cents, means), middle), steady_wobble_cents, full_wobble_cents));
}

/// The course of f0 that a centre is taken from, and what it leaves in doubt.
struct VibratoReduced {
  /// The same with all of a swing, and with none.
  struct WithAndWithoutVibrato {
    std::vector<double> with, without;
  };
  std::vector<double> cents;
  std::optional<WithAndWithoutVibrato> with_and_without;
  double track_se_cents = 0;
};

VibratoReduced reduce_vibrato(PitchEstimate& estimate, const NoteSeries& series, Part middle) {
  const Part part = estimate.part;
  std::vector<double>& vibrato_removed = estimate.vibrato_removed_cents;
  const double fits = estimate.vibrato ? removed_share(series, series.cents, vibrato_removed, part, left_by_fit) *
                                             linear_ramp(cycles_in(series, *estimate.vibrato, part), 1.5, 2.5)
                                       : 0;
  VibratoReduced reduced{interpolate(series.cents, vibrato_removed, fits), {}, 0};
  const VibratoTrack track = track_vibrato(series, reduced.cents, part, middle);
  reduced.track_se_cents = track.mean_se_cents;
  if (track.cents.empty()) return reduced;
  std::vector<double> without = difference(reduced.cents, track.cents);
  const double share = track.sure ? removed_share(series, reduced.cents, without, part, left_by_track) : 0;
  if (track.sure) vibrato_removed = without, reduced.track_se_cents *= model_se_factor;
  reduced.with_and_without = VibratoReduced::WithAndWithoutVibrato{std::move(reduced.cents), std::move(without)};
  reduced.cents = interpolate(reduced.with_and_without->with, reduced.with_and_without->without, share);
  return reduced;
}

/// The median of the middle, averaged, in place of the mean over the steady part.
void take_central_median(PitchEstimate& estimate, const NoteSeries& series, const VibratoMean& vibrato, double onset_s,
                         double end_s) {
  const Part window = central_window(series, estimate.part, onset_s, end_s);
  const VibratoReduced reduced = reduce_vibrato(estimate, series, window);
  // All of it: a median bears what a glide leaves in the middle, and in short notes most of the middle may look like
  // one.
  const auto middle_over = [&](const std::vector<double>& cents) {
    return trimmed_median(series, cents, {0, series.size()}, onset_s, end_s);
  };
  const auto averaged_middle = [&](const std::vector<double>& cents) {
    return middle_over(smooth_wobble(series, cents, window));
  };
  const auto middle = averaged_middle(reduced.cents);
  if (!middle) return;
  const TrimmedMedian frames = *middle_over(reduced.cents);
  double se = std::max(middle->se_cents, frames.se_cents);
  if (estimate.vibrato) se = std::hypot(vibrato_se_factor * se, vibrato.se_cents);
  se = std::hypot(se, reduced.track_se_cents, smoothing_se_factor * (middle->cents - frames.cents));
  if (const auto& with_and_without = reduced.with_and_without) {
    const double moves_cents =
        averaged_middle(with_and_without->with)->cents - averaged_middle(with_and_without->without)->cents;
    se = std::hypot(se, track_se_factor * moves_cents);
  }
  estimate.cents = middle->cents;
  estimate.se_cents = se;
}

}  // namespace

double mean_over(const std::vector<double>& values, Part part) {
  double sum = 0;
  for (std::size_t i = part.from; i < part.to; ++i) sum += values[i];
  return sum / static_cast<double>(part.size());
}

double deviation_over(const std::vector<double>& values, Part part) {
  const double mean = mean_over(values, part);
  double sum = 0;
  for (std::size_t i = part.from; i < part.to; ++i) sum += (values[i] - mean) * (values[i] - mean);
  return std::sqrt(sum / static_cast<double>(part.size()));
}

PitchEstimate estimate_note_pitch(const NoteSeries& series, double onset_s, double end_s) {
  PitchEstimate estimate;
  auto& vibrato = estimate.vibrato;
  auto& vibrato_removed = estimate.vibrato_removed_cents;
  vibrato = fit_vibrato(series, inside_of(series));
  vibrato_removed = without_vibrato(series, vibrato);
  SteadyPart steady = find_steady_part(series, vibrato_removed);
  for (int round = 0; round < 2; ++round) {
    vibrato = fit_vibrato(series, steady.part);
    vibrato_removed = without_vibrato(series, vibrato);
    if (round == 0) steady = find_steady_part(series, vibrato_removed);
  }
  estimate.part = steady.part;
  const VibratoMean track = vibrato_in_mean(series, estimate.part, vibrato);
  estimate.cents = mean_over(series.cents, estimate.part) - track.cents;
  estimate.se_cents = std::hypot(standard_error(vibrato_removed, steady), track.se_cents);
  take_central_median(estimate, series, track, onset_s, vowel_end(series, end_s));
  return estimate;
}

}  // namespace firmus::measure
