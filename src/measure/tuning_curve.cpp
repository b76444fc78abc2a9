// The singer's own tuning over a take: a robust line over each key segment, and every note's error against it.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "firmus/theory.hpp"
#include "key_segments.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

constexpr double keep_octave_cents = 60;   ///< a transposition of 0 or whole octaves is preferred up to this error
constexpr double least_spread_cents = 10;  ///< of note errors; keeps the biweight from fitting a few notes only
constexpr double least_drift_cents = 10;   ///< over the segment; less is not called significant
/// Errors of neighbouring notes are correlated (0.3): the variance of means and of Kendall's S grows by
/// (1 + r) / (1 - r) (Hamed & Rao 1998 for S).
constexpr double correlation_factor = 1.3 / 0.7;

int nearest_octave(double semitones) {
  const double octaves = semitones / 12;
  const double whole = std::trunc(octaves);
  return 12 * static_cast<int>(std::abs(octaves - whole) > 0.5 ? whole + std::copysign(1.0, octaves) : whole);
}

int transposition_for(double centre_cents) {
  const int octave = nearest_octave(centre_cents / 100);
  if (std::abs(centre_cents - 100.0 * octave) <= keep_octave_cents) return octave;
  return static_cast<int>(std::lround(centre_cents / 100));
}

/// The notes with single ones that were sung in another octave than their neighbours moved back to theirs: such a
/// slip says as much about the tuning as any note, and must not change the errors of the others. Where most of the
/// neighbours have moved too, it is a change of key.
std::vector<JudgedNote> without_octave_slips(std::span<const JudgedNote> notes) {
  constexpr std::size_t neighbours = 4;  // on either side
  constexpr double within_cents = 300;   // of the octave: a slip may be out of tune as well
  std::vector<double> errors;
  for (const JudgedNote& note : notes) errors.push_back(cents_between(Hertz(note.target_hz), Hertz(note.sung_hz)));
  std::vector<JudgedNote> moved(notes.begin(), notes.end());
  for (std::size_t i = 0; i < notes.size() && notes.size() > 1; ++i) {
    const auto begin = errors.begin() + static_cast<std::ptrdiff_t>(i - std::min(i, neighbours));
    const auto at = errors.begin() + static_cast<std::ptrdiff_t>(i);
    const auto end = errors.begin() + static_cast<std::ptrdiff_t>(std::min(errors.size(), i + 1 + neighbours));
    std::vector<double> around(begin, at);
    around.insert(around.end(), at + 1, end);
    const int octaves = whole_octaves(Cents(errors[i] - median(std::move(around))), Cents(within_cents));
    moved[i].sung_hz = std::ldexp(moved[i].sung_hz, -octaves);
  }
  return moved;
}

/// Times and errors of one segment, or of all.
struct NoteTimesAndErrors {
  std::vector<double> time_s, cents;
};

NoteTimesAndErrors errors_of(std::span<const JudgedNote> notes) {
  NoteTimesAndErrors errors;
  for (const JudgedNote& note : notes) {
    errors.time_s.push_back(note.time_s);
    errors.cents.push_back(cents_between(Hertz(note.target_hz), Hertz(note.sung_hz)));
  }
  return errors;
}

std::vector<std::size_t> phrase_starts_of(std::span<const JudgedNote> notes) {
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < notes.size(); ++i)
    if (i == 0 || notes[i].phrase != notes[i - 1].phrase) starts.push_back(i);
  return starts;
}

struct FittedSegment {
  TrendLine trend;
  KeySegment key_segment;
};

void fit_drift(const NoteTimesAndErrors& errors, FittedSegment& fitted) {
  const double length_s = errors.time_s.back() - errors.time_s.front();
  if (errors.cents.size() < fewest_notes_for_slope || length_s < least_seconds_for_slope) return;
  const auto slope = theil_sen(errors.time_s, errors.cents, correlation_factor);
  fitted.trend.cents_per_s = slope.slope;
  fitted.key_segment.drift_cents_per_minute = 60 * slope.slope;
  fitted.key_segment.drift_ci95 = {60 * slope.ci95.first, 60 * slope.ci95.second};
  fitted.key_segment.drift_significant =
      (slope.ci95.first > 0 || slope.ci95.second < 0) && std::abs(slope.slope) * length_s > least_drift_cents;
}

FittedSegment fit_segment(std::span<const JudgedNote> notes) {
  const NoteTimesAndErrors errors = errors_of(notes);
  FittedSegment fitted;
  fitted.trend.middle_s = (errors.time_s.front() + errors.time_s.back()) / 2;
  fit_drift(errors, fitted);
  std::vector<double> level;
  for (std::size_t i = 0; i < notes.size(); ++i)
    level.push_back(errors.cents[i] - fitted.trend.cents_per_s * (errors.time_s[i] - fitted.trend.middle_s));
  fitted.trend.at_middle_cents = biweight_centre(level, least_spread_cents);
  const double spread = std::max(mad_sigma(level, fitted.trend.at_middle_cents), least_spread_cents);
  KeySegment& key_segment = fitted.key_segment;
  key_segment.from_index = notes.front().index;
  key_segment.to_index = notes.back().index;
  key_segment.transposition_semitones = transposition_for(fitted.trend.at_middle_cents);
  key_segment.centre_cents = fitted.trend.at_middle_cents - 100.0 * key_segment.transposition_semitones;
  key_segment.centre_se_cents = spread * std::sqrt(correlation_factor / static_cast<double>(notes.size()));
  return fitted;
}

/// The octave of a segment: the take's, unless the singer moved by a whole octave or more.
int octave_of(const KeySegment& key_segment, const TuningCurve& curve) {
  return curve.octave_semitones + nearest_octave(key_segment.transposition_semitones - curve.transposition_semitones);
}

void add_errors(std::span<const JudgedNote> notes, const FittedSegment& fitted, TuningCurve& curve,
                std::vector<double>& centres) {
  for (const JudgedNote& note : notes) {
    const double error = cents_between(Hertz(note.target_hz), Hertz(note.sung_hz)), own = fitted.trend.at(note.time_s);
    curve.errors.push_back({error - 100.0 * octave_of(fitted.key_segment, curve), error - own, std::nullopt});
    centres.push_back(own - 100.0 * fitted.key_segment.transposition_semitones);
  }
}

void add_interval_errors(std::span<const JudgedNote> notes, TuningCurve& curve) {
  for (std::size_t i = 1; i < notes.size(); ++i)
    curve.errors[i].interval_cents = cents_between(Hertz(notes[i].target_hz), Hertz(notes[i].sung_hz)) -
                                     cents_between(Hertz(notes[i - 1].target_hz), Hertz(notes[i - 1].sung_hz));
}

}  // namespace
}  // namespace firmus::measure

namespace firmus {

TuningCurve fit_tuning_curve(std::span<const JudgedNote> notes) {
  using namespace measure;
  TuningCurve curve;
  if (notes.empty()) return curve;
  const std::vector<JudgedNote> to_fit = without_octave_slips(notes);
  const NoteTimesAndErrors errors = errors_of(to_fit);
  std::vector<std::size_t> starts = key_segment_starts(errors.time_s, errors.cents, phrase_starts_of(to_fit));
  starts.push_back(notes.size());
  std::vector<FittedSegment> fitted;
  std::size_t longest = 0;
  for (std::size_t s = 0; s + 1 < starts.size(); ++s) {
    const std::size_t count = starts[s + 1] - starts[s];
    fitted.push_back(fit_segment(std::span(to_fit).subspan(starts[s], count)));
    curve.key_segments.push_back(fitted.back().key_segment);
    if (count > longest)
      longest = count, curve.transposition_semitones = fitted.back().key_segment.transposition_semitones;
  }
  curve.octave_semitones = nearest_octave(curve.transposition_semitones);
  std::vector<double> centres;
  for (std::size_t s = 0; s < fitted.size(); ++s)
    add_errors(notes.subspan(starts[s], starts[s + 1] - starts[s]), fitted[s], curve, centres);
  curve.centre_cents = median(std::move(centres));
  add_interval_errors(notes, curve);
  return curve;
}

}  // namespace firmus
