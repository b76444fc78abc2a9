#include "note_centre.hpp"

#include <algorithm>
#include <cmath>

#include "middle.hpp"
#include "short_vibrato.hpp"
#include "standard_error.hpp"
#include "steady_part.hpp"
#include "swing.hpp"

namespace firmus::measure {
namespace {

constexpr double short_note_s = 0.35;      ///< under two cycles of vibrato a fit is not to be trusted
constexpr double unseen_vibrato_s = 0.45;  ///< in a longer part vibrato that matters is seen
/// Vibrato is taken off where it is regular: what is left moves by no more than this share of what goes. A wobble is
/// averaged instead (real takes by beginners against an independent measurement: errors of 1.4 and 6.0 cents, median
/// and 90 %, with every swing taken off, 0.9 and 4.0 so; voices with exact truth, seed 11).
constexpr double left_by_fit = 0.45, left_by_swing = 0.36;
constexpr double ramp_share = 0.2;  ///< so much about it, it is taken off in part
/// What a fitted vibrato leaves moves the median too (coverage tests; voices with exact
/// truth, seeds 11 and 12).
constexpr double vibrato_doubt = 1.4;
/// By so much of what a swing moves the median, the centre is in doubt: where it is left in, since it is too irregular
/// to be taken off, and where it is taken off, since it may be no vibrato (the loop of a sampled instrument). What its
/// model says of its own doubt counts for so much (voices in 14 conditions, seeds 31 to 34).
constexpr double swing_doubt = 0.47, model_counts = 0.9;
constexpr double average_doubt = 0.5;  ///< of how far averaging moves a wobble (seeds 11 and 12)
/// A voice held still flutters by a cent or so from one moment to the next, and a median bears that. What wobbles by
/// more is averaged first, over about what a difference function spans.
constexpr double still_cents = 1.3, wobble_cents = 1.9, averaged_s = 0.06;

std::vector<double> without_vibrato(const NoteSeries& series, const std::optional<VibratoFit>& vibrato) {
  std::vector<double> still = series.cents;
  if (vibrato)
    for (std::size_t i = 0; i < still.size(); ++i) still[i] -= vibrato->at(series.time_s[i]);
  return still;
}

Part inside_of(const NoteSeries& series) {
  const std::size_t cut = series.size() / 6;
  return {cut, series.size() - cut};
}

/// From the fit over whole cycles where there are some, else weighed.
VibratoMean vibrato_in_mean(const NoteSeries& series, Part part, const std::optional<VibratoFit>& vibrato) {
  const double length_s = series.time_s[part.to - 1] - series.time_s[part.from];
  if (vibrato && length_s >= short_note_s) return vibrato_mean(*vibrato, series, part);
  return length_s < unseen_vibrato_s ? weigh_short_vibrato(series, part) : VibratoMean{};
}

std::vector<double> difference(std::vector<double> values, const std::vector<double>& others) {
  for (std::size_t i = 0; i < values.size(); ++i) values[i] -= others[i];
  return values;
}

/// Mean of f0 over `averaged_s` about each frame.
std::vector<double> averaged(const NoteSeries& series, const std::vector<double>& cents) {
  std::vector<double> means(cents.size());
  std::size_t from = 0, to = 0;
  double sum = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) {
    while (to < cents.size() && series.time_s[to] <= series.time_s[i] + averaged_s / 2 + frame_s / 2)
      sum += cents[to++];
    while (series.time_s[from] < series.time_s[i] - averaged_s / 2 - frame_s / 2) sum -= cents[from++];
    means[i] = sum / static_cast<double>(to - from);
  }
  return means;
}

/// 0 up to `from`, 1 from `to` on: a little more or less never moves a centre by a step.
double ramp(double value, double from, double to) {
  return std::clamp((value - from) / (to - from), 0.0, 1.0);
}

/// How much of what goes is taken off: all where it is regular, that is, where little is left.
double share_taken(const NoteSeries& series, const std::vector<double>& before, const std::vector<double>& after,
                   Part part, double most_left) {
  const double left = deviation_over(averaged(series, after), part),
               gone = deviation_over(difference(before, after), part);
  return gone > 0 ? 1 - ramp(left / gone, most_left - ramp_share / 2, most_left + ramp_share / 2) : 0;
}

double cycles_in(const NoteSeries& series, const VibratoFit& vibrato, Part part) {
  return vibrato.rate_hz * (series.time_s[part.to - 1] - series.time_s[part.from]);
}

/// `share` of the way from one line to the other.
std::vector<double> between(const std::vector<double>& from, const std::vector<double>& to, double share) {
  std::vector<double> line = from;
  for (std::size_t i = 0; i < line.size(); ++i) line[i] += share * (to[i] - from[i]);
  return line;
}

std::vector<double> averaged_wobble(const NoteSeries& series, const std::vector<double>& cents, Part middle) {
  if (middle.size() == 0) return cents;
  const std::vector<double> means = averaged(series, cents);
  return between(cents, means, ramp(deviation_over(difference(cents, means), middle), still_cents, wobble_cents));
}

/// The course of f0 that a centre is taken from, and what it leaves in doubt.
struct Course {
  /// The same with all of a swing, and with none.
  struct Swung {
    std::vector<double> with, without;
  };
  std::vector<double> cents;
  std::optional<Swung> swung;
  double swing_se_cents = 0;
};

Course find_course(NoteCentre& centre, const NoteSeries& series, Part middle) {
  const Part part = centre.part;
  std::vector<double>& still = centre.still_cents;
  const double fits = centre.vibrato ? share_taken(series, series.cents, still, part, left_by_fit) *
                                           ramp(cycles_in(series, *centre.vibrato, part), 1.5, 2.5)
                                     : 0;
  Course course{between(series.cents, still, fits), {}, 0};
  const Swing swing = find_swing(series, course.cents, part, middle);
  course.swing_se_cents = swing.mean_se_cents;
  if (swing.cents.empty()) return course;
  std::vector<double> without = difference(course.cents, swing.cents);
  const double share = swing.sure ? share_taken(series, course.cents, without, part, left_by_swing) : 0;
  if (swing.sure) still = without, course.swing_se_cents *= model_counts;
  course.swung = Course::Swung{std::move(course.cents), std::move(without)};
  course.cents = between(course.swung->with, course.swung->without, share);
  return course;
}

/// The median of the middle, averaged, in place of the mean over the steady part.
void take_middle(NoteCentre& centre, const NoteSeries& series, const VibratoMean& vibrato, double onset_s,
                 double end_s) {
  const Part steady_middle = middle_of(series, centre.part, onset_s, end_s);
  const Course course = find_course(centre, series, steady_middle);
  // All of it: a median bears what a glide leaves in the middle, and in short notes most of the middle may look like
  // one.
  const auto middle_over = [&](const std::vector<double>& cents) {
    return middle_centre(series, cents, {0, series.size()}, onset_s, end_s);
  };
  const auto averaged_middle = [&](const std::vector<double>& cents) {
    return middle_over(averaged_wobble(series, cents, steady_middle));
  };
  const auto middle = averaged_middle(course.cents);
  if (!middle) return;
  const MiddleCentre frames = *middle_over(course.cents);
  double se = std::max(middle->se_cents, frames.se_cents);
  if (centre.vibrato) se = std::hypot(vibrato_doubt * se, vibrato.se_cents);
  se = std::hypot(se, course.swing_se_cents, average_doubt * (middle->cents - frames.cents));
  if (const auto& swung = course.swung) {
    const double moves_cents = averaged_middle(swung->with)->cents - averaged_middle(swung->without)->cents;
    se = std::hypot(se, swing_doubt * moves_cents);
  }
  centre.cents = middle->cents;
  centre.se_cents = se;
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

NoteCentre find_note_centre(const NoteSeries& series, double onset_s, double end_s) {
  NoteCentre centre;
  auto& vibrato = centre.vibrato;
  auto& still = centre.still_cents;
  vibrato = fit_vibrato(series, inside_of(series));
  still = without_vibrato(series, vibrato);
  SteadyPart steady = find_steady_part(series, still);
  for (int round = 0; round < 2; ++round) {
    vibrato = fit_vibrato(series, steady.part);
    still = without_vibrato(series, vibrato);
    if (round == 0) steady = find_steady_part(series, still);
  }
  centre.part = steady.part;
  const VibratoMean swing = vibrato_in_mean(series, centre.part, vibrato);
  centre.cents = mean_over(series.cents, centre.part) - swing.cents;
  centre.se_cents = std::hypot(standard_error(still, steady), swing.se_cents);
  take_middle(centre, series, swing, onset_s, heard_end(series, end_s));
  return centre;
}

}  // namespace firmus::measure
