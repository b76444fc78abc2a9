// The pitch of one note: centre of log f0 over its steady part, vibrato taken off, with a standard error that is meant.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "measure/measure.hpp"
#include "nearby_samples.hpp"
#include "note_series.hpp"
#include "pitch_estimate.hpp"
#include "second_pitch.hpp"

namespace firmus {
namespace {

using measure::deviation_over;
using measure::NearbySamples;
using measure::NoteSeries;
using measure::Part;

constexpr int fewest_voiced_frames = 12;      ///< 60 ms: below, no two periods of vibrato or scoop can be told apart
constexpr double least_voiced_share = 0.4;    ///< of the frames between the boundaries
constexpr double unstable_spread_cents = 60;  ///< of f0 without vibrato and slope: no one pitch
constexpr double noisy_se_cents = 15;         ///< a wider 95 % interval than +-30 cents says nothing
constexpr double reported_extent_cents = 15;  ///< less is taken off, but is no vibrato that a listener would name
/// What a tail as loud as the note would add to the standard error; it adds as its amplitude does (rooms of 0.8 and
/// 1.8 s with exact truth, seeds 41 to 44).
constexpr double reverberation_se_cents = 4;
constexpr double scoop_from_cents = 20;
constexpr double clipped_level = 0.97, clipped_share = 0.05;  ///< more than that of a note's samples near full scale

/// From 40 frames at most: every pair counts, and neighbours say the same.
double slope_over(const NoteSeries& series, const std::vector<double>& vibrato_removed, Part part) {
  std::vector<double> x, y;
  for (std::size_t i = part.from; i < part.to; i += 1 + part.size() / 40)
    x.push_back(series.time_s[i]), y.push_back(vibrato_removed[i]);
  return theil_sen_slope(x, y);
}

/// Where the note began: the third to fifth voiced frame (the first two are still half silence) against the centre.
std::optional<double> scoop_of(const std::vector<double>& vibrato_removed, double centre) {
  if (vibrato_removed.size() < 8) return std::nullopt;
  const double off = median({vibrato_removed[2], vibrato_removed[3], vibrato_removed[4]}) - centre;
  return std::abs(off) >= scoop_from_cents ? std::optional(off) : std::nullopt;
}

double level_over(const NoteSeries& series, Part part) {
  double power = 0;
  for (std::size_t i = part.from; i < part.to; ++i) power += std::pow(10.0, series.level_db[i] / 10);
  return 10 * std::log10(power / static_cast<double>(part.size()));
}

bool is_clipped(const Samples& samples, const NoteSeries& series, Part part) {
  constexpr std::size_t block = 160;
  NearbySamples near(samples);
  std::int64_t over = 0, count = 0;
  const auto begin = static_cast<std::int64_t>(series.time_s[part.from] * Samples::rate_hz);
  const auto end = static_cast<std::int64_t>(series.time_s[part.to - 1] * Samples::rate_hz);
  for (std::int64_t at = begin; at < end; at += block) {
    over += std::ranges::count_if(near.read(at, block), [](float value) { return std::abs(value) >= clipped_level; });
    count += block;
  }
  return static_cast<double>(over) > clipped_share * static_cast<double>(count);
}

/// Whether at most of five places in the part a second pitch sounds.
bool has_two_voices(const Samples& samples, const NoteSeries& series, Part part) {
  constexpr std::size_t places = 5;
  measure::SecondPitchDetector detector(samples);
  int detected = 0;
  for (std::size_t i = 0; i < places; ++i) {
    const std::size_t at = part.from + (2 * i + 1) * part.size() / (2 * places);
    const double hz = series.middle_hz * std::exp2(series.cents[at] / 1200);
    detected += detector.detects(std::llround(series.time_s[at] / measure::frame_s), hz) ? 1 : 0;
  }
  return detected >= 4;
}

std::optional<UnclearReason> too_little(const NoteSeries& series) {
  if (static_cast<int>(series.size()) < fewest_voiced_frames)
    return series.frames_within < 2 * fewest_voiced_frames ? UnclearReason::too_short : UnclearReason::noisy;
  return std::nullopt;
}

std::optional<UnclearReason> reason_unclear(const Samples& samples, const NoteSeries& series,
                                            const std::vector<double>& vibrato_removed, Part part,
                                            const NotePitch& note) {
  if (is_clipped(samples, series, part)) return UnclearReason::clipped;
  if (static_cast<double>(series.size()) < least_voiced_share * series.frames_within) return UnclearReason::noisy;
  if (deviation_over(vibrato_removed, part) > unstable_spread_cents) return UnclearReason::unstable;
  if (has_two_voices(samples, series, part)) return UnclearReason::two_voices;
  if (*note.se_cents > noisy_se_cents) return UnclearReason::noisy;
  return std::nullopt;
}

}  // namespace

std::string_view to_string(UnclearReason reason) {
  switch (reason) {
    case UnclearReason::too_short:
      return "too_short";
    case UnclearReason::noisy:
      return "noisy";
    case UnclearReason::unstable:
      return "unstable";
    case UnclearReason::two_voices:
      return "two_voices";
    case UnclearReason::clipped:
      return "clipped";
  }
  return "";
}

NotePitch measure_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                       double reverberation_level) {
  NotePitch note;
  const NoteSeries series = measure::gather_note(samples, refined_hz, onset_s, end_s);
  note.unclear = too_little(series);
  if (note.unclear) return note;
  const measure::PitchEstimate centre = measure::estimate_note_pitch(series, onset_s, end_s);
  const std::vector<double>& vibrato_removed = centre.vibrato_removed_cents;
  const Part part = centre.part;
  note.hz = series.middle_hz * std::exp2(centre.cents / 1200);
  note.se_cents = std::hypot(centre.se_cents, reverberation_se_cents * reverberation_level);
  note.spread_cents = deviation_over(series.cents, part);
  note.slope_cents_per_s = slope_over(series, vibrato_removed, part);
  note.scoop_cents = scoop_of(vibrato_removed, centre.cents);
  if (centre.vibrato && centre.vibrato->extent_cents >= reported_extent_cents)
    note.vibrato = Vibrato{centre.vibrato->rate_hz, centre.vibrato->extent_cents};
  note.level_dbfs = level_over(series, part);
  note.unclear = reason_unclear(samples, series, vibrato_removed, part, note);
  return note;
}

}  // namespace firmus
