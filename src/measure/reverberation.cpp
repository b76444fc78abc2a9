// How much of a sung note still sounds when it is over. Such a tail also lies under the notes that follow, and under
// the note's own later half, where it pulls f0 towards what it was: roughness from frame to frame does not show it.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "demodulate.hpp"
#include "measure/measure.hpp"
#include "nearby_samples.hpp"
#include "note_series.hpp"

namespace firmus {
namespace {

using measure::frame_samples;

constexpr double note_over_db = 5;  ///< a note is over where its level has fallen so far for good
/// A mouth and an instrument without a room are silent by then, or nearly: of 350 dry takes with exact truth (seed 11)
/// 5 are over `own_release_power`, by 2.5 dB at most; at 0.1 s more are.
constexpr std::int64_t tail_after_frames = 24;
constexpr std::int64_t window_samples = 1024;  ///< 64 ms
constexpr double next_s = 0.03;                ///< the next note may begin so much before its onset
constexpr double same_pitch = 0.04;            ///< what lingers may have glided: share of its period
constexpr double own_release_power = 0.01;     ///< power: 20 dB under the note are its own release

/// Rises with frequency: rumble and hum say nothing of a voice.
class Emphasised {
 public:
  explicit Emphasised(const Samples& samples) : samples_(samples) {}
  std::span<const float> read(std::int64_t begin, std::size_t count) {
    const auto values = samples_.read(begin - 1, count + 1);
    values_.resize(count);
    for (std::size_t i = 0; i < count; ++i) values_[i] = values[i + 1] - values[i];
    return values_;
  }
  double power(std::int64_t begin, std::size_t count) {
    double sum = 0;
    for (const float value : read(begin, count)) sum += static_cast<double>(value) * value;
    return sum / static_cast<double>(count);
  }

 private:
  measure::NearbySamples samples_;
  std::vector<float> values_;
};

/// The share of the sound that repeats itself after about a period, 0 to 1.
double periodic_power_share(std::span<const float> sound, double period_samples) {
  double best = 0;
  const auto longest = static_cast<std::size_t>(period_samples * (1 + same_pitch)) + 1;
  for (auto lag = static_cast<std::size_t>(period_samples * (1 - same_pitch)); lag <= longest; ++lag) {
    double cross = 0, energy = 1e-12;
    for (std::size_t i = 0; i + longest < sound.size(); ++i) {
      const double now = sound[i], later = sound[i + lag];
      cross += now * later, energy += (now * now + later * later) / 2;
    }
    best = std::max(best, cross / energy);
  }
  return best;
}

class ReverberationMeter {
 public:
  ReverberationMeter(const Samples& samples, std::span<const float> refined_hz)
      : sound_(samples), refined_hz_(refined_hz) {}

  /// Power that goes on at the pitch of a note after it is over, against the note's; none where the next note follows
  /// too soon to tell.
  std::optional<double> tail_power_ratio(const DecodedNote& note, double next_onset_s) {
    const std::int64_t onset = frame_at(note.onset_s), end = frame_at(note.end_s);
    const std::int64_t next = frame_at(next_onset_s - next_s);
    const double hz = pitch_between(onset, end), note_power = power_between(onset, end);
    const std::int64_t over = last_loud_frame(onset, next, note_power);
    const std::int64_t from = (over + tail_after_frames) * frame_samples - window_samples / 2;
    if (hz <= 0 || over >= next || from + window_samples > next * frame_samples) return std::nullopt;
    const double period = Samples::rate_hz / hz;
    const auto spare = static_cast<std::size_t>(period);
    const double share = periodic_power_share(
        sound_.read(from - static_cast<std::int64_t>(spare / 2), static_cast<std::size_t>(window_samples) + spare),
        period);
    return sound_.power(from, window_samples) / note_power * share;
  }

 private:
  std::int64_t frame_at(double time_s) const {
    return std::clamp<std::int64_t>(std::llround(time_s / measure::frame_s), 0,
                                    static_cast<std::int64_t>(refined_hz_.size()));
  }
  double pitch_between(std::int64_t begin, std::int64_t end) const {
    std::vector<double> voiced;
    for (std::int64_t i = begin; i < end; ++i)
      if (const float hz = refined_hz_[static_cast<std::size_t>(i)]; hz > 0) voiced.push_back(static_cast<double>(hz));
    return median(std::move(voiced));
  }
  double power_at(std::int64_t frame) { return sound_.power((frame - 1) * frame_samples, 2 * frame_samples); }
  double power_between(std::int64_t begin, std::int64_t end) {
    std::vector<double> powers;
    for (std::int64_t i = begin; i < end; ++i) powers.push_back(power_at(i));
    return median(std::move(powers)) + 1e-12;
  }
  /// The last frame that is nearly as loud as the note.
  std::int64_t last_loud_frame(std::int64_t onset, std::int64_t next, double note_power) {
    const double over_power = note_power * std::pow(10, -note_over_db / 10);
    std::int64_t last = next;
    while (last > onset && power_at(last) < over_power) --last;
    return last;
  }

  Emphasised sound_;
  std::span<const float> refined_hz_;
};

}  // namespace

double estimate_reverberation_level(const Samples& samples, std::span<const float> refined_hz,
                                    std::span<const DecodedNote> notes) {
  ReverberationMeter meter(samples, refined_hz);
  std::vector<double> shares;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double next_onset_s = i + 1 < notes.size() ? notes[i + 1].onset_s : samples.duration_s();
    if (const auto share = meter.tail_power_ratio(notes[i], next_onset_s)) shares.push_back(*share);
  }
  if (shares.empty()) return 0;
  return std::sqrt(std::max(0.0, median(shares) - own_release_power));
}

}  // namespace firmus
