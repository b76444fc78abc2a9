// One note: its pitch with standard error, its other figures, and the reason where the pitch is unclear.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "firmus/theory.hpp"
#include "measure/measure.hpp"
#include "measured_note.hpp"
#include "nearby_samples.hpp"
#include "note_series.hpp"
#include "pitch_estimate.hpp"
#include "second_pitch.hpp"
#include "trill.hpp"

namespace firmus::measure {
namespace {

constexpr int fewest_voiced_frames = 12;      ///< 60 ms: in less, vibrato and a scoop look alike
constexpr double least_voiced_share = 0.4;    ///< of the frames between the boundaries
constexpr double unstable_spread_cents = 60;  ///< of f0 without vibrato: there is no single pitch
constexpr double noisy_se_cents = 15;         ///< a 95 % interval of more than +-30 cents has no use
constexpr double reported_extent_cents = 15;  ///< smaller vibrato is removed but not reported: listeners do not hear it
/// Standard error that a decay tail as loud as the note would add; it is proportional to the tail's amplitude (rooms of
/// 0.8 and 1.8 s with exact truth, seeds 41 to 44).
constexpr double reverberation_se_cents = 4;
constexpr double scoop_from_cents = 20;
constexpr double clipped_level = 0.97, clipped_share = 0.05;  ///< more than this share of samples near full scale

/// Robust slope in cents per second from at most 40 frames: the cost is that of all pairs.
double slope_over(const NoteSeries& series, const std::vector<double>& vibrato_removed, Part part) {
  std::vector<double> x, y;
  for (std::size_t i = part.from; i < part.to; i += 1 + part.size() / 40)
    x.push_back(series.time_s[i]), y.push_back(vibrato_removed[i]);
  return theil_sen_slope(x, y);
}

/// Pitch of the note's start, the third to fifth voiced frame (the first two are half silence), against its centre.
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

/// Whether a second pitch sounds at four or more of five places in the part, where f0 does not move.
bool has_two_voices(const Samples& samples, std::span<const float> refined_hz, const NoteSeries& series, Part part) {
  constexpr std::size_t places = 5;
  SecondPitchDetector detector(samples);
  int detected = 0;
  for (std::size_t i = 0; i < places; ++i) {
    const std::size_t at = part.from + (2 * i + 1) * part.size() / (2 * places);
    const double hz = transposed(Hertz(series.middle_hz), Cents(series.cents[at]));
    const auto frame = std::llround(series.time_s[at] / frame_s);
    detected += holds_pitch(refined_hz, static_cast<std::size_t>(frame)) && detector.detects(frame, hz) ? 1 : 0;
  }
  return detected >= 4;
}

UnclearReason reason_without_pitch(const NoteSeries& series) {
  return series.frames_within < 2 * fewest_voiced_frames ? UnclearReason::too_short : UnclearReason::noisy;
}

std::optional<UnclearReason> reason_unclear(const Samples& samples, std::span<const float> refined_hz,
                                            const NoteSeries& series, const std::vector<double>& vibrato_removed,
                                            Part part, const NotePitch& note) {
  if (is_clipped(samples, series, part)) return UnclearReason::clipped;
  if (static_cast<double>(series.size()) < least_voiced_share * series.frames_within) return UnclearReason::noisy;
  if (deviation_over(vibrato_removed, part) > unstable_spread_cents) return UnclearReason::unstable;
  if (is_trill(series)) return UnclearReason::unstable;
  if (has_two_voices(samples, refined_hz, series, part)) return UnclearReason::two_voices;
  if (*note.se_cents > noisy_se_cents) return UnclearReason::noisy;
  return std::nullopt;
}

}  // namespace
}  // namespace firmus::measure

namespace firmus {

namespace measure {

MeasuredNote measure_with(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                          double reverberation_level, const std::optional<UsualVibrato>& usual) {
  MeasuredNote measured;
  NotePitch& note = measured.pitch;
  const NoteSeries series = gather_note(samples, refined_hz, onset_s, end_s);
  std::optional<PitchEstimate> estimate;
  if (static_cast<int>(series.size()) >= fewest_voiced_frames)
    estimate = estimate_note_pitch(series, onset_s, end_s, usual);
  if (!estimate) {
    note.unclear = reason_without_pitch(series);
    return measured;
  }
  const std::vector<double>& vibrato_removed = estimate->vibrato_removed_cents;
  const Part steady = estimate->steady;
  measured.vibrato = estimate->vibrato;
  measured.steady_s = series.time_s[steady.to - 1] - series.time_s[steady.from];
  note.hz = transposed(Hertz(series.middle_hz), Cents(estimate->cents));
  note.se_cents = std::hypot(estimate->se_cents, reverberation_se_cents * reverberation_level);
  note.spread_cents = deviation_over(series.cents, steady);
  note.slope_cents_per_s = slope_over(series, vibrato_removed, steady);
  note.scoop_cents = scoop_of(vibrato_removed, estimate->cents);
  if (estimate->vibrato && estimate->vibrato->extent_cents >= reported_extent_cents &&
      estimate->vibrato->rate_hz >= slowest_vibrato_hz)
    note.vibrato = Vibrato{estimate->vibrato->rate_hz, estimate->vibrato->extent_cents};
  note.level_dbfs = level_over(series, steady);
  note.unclear = reason_unclear(samples, refined_hz, series, vibrato_removed, steady, note);
  return measured;
}

}  // namespace measure

NotePitch measure_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                       double reverberation_level) {
  return measure::measure_with(samples, refined_hz, onset_s, end_s, reverberation_level, std::nullopt).pitch;
}

}  // namespace firmus
