// Level of the reverberation (decay tail) of a take, read in the gaps after its notes. The same tail lies under the
// notes that follow and under the later half of each note, where it biases f0 towards its past values; the noise from
// frame to frame does not show that bias.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "demodulate.hpp"
#include "measure/measure.hpp"
#include "nearby_samples.hpp"
#include "note_series.hpp"

namespace firmus::measure {
namespace {

constexpr double note_over_db = 5;  ///< a note is over where its level has fallen by this much for good
/// 0.12 s after the end: by then a voice or an instrument without a room is silent, or nearly. Of 350 dry simulated
/// takes (seed 11) 5 exceed `own_release_power`, by 2.5 dB at most; after 0.1 s more do.
constexpr std::int64_t tail_after_frames = 24;
constexpr std::int64_t tail_window_samples = 1024;  ///< 64 ms
constexpr double next_s = 0.03;                     ///< the next note may begin this long before its decoded onset
constexpr double same_pitch = 0.04;                 ///< share of the period by which the tail's period may differ
constexpr double own_release_power = 0.01;          ///< power ratio: a tail 20 dB below the note is its own release

/// First difference of the samples: rumble and hum are attenuated.
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
  NearbySamples samples_;
  std::vector<float> values_;
};

/// Share of the power that repeats after about one period (normalised autocorrelation), 0 to 1.
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

  /// Power that continues at the pitch of a note after its end, divided by the note's; none where the gap before the
  /// next note is too short.
  std::optional<double> tail_power_ratio(const DecodedNote& note, double next_onset_s) {
    const std::int64_t onset = frame_at(note.onset_s), end = frame_at(note.end_s);
    const std::int64_t next = frame_at(next_onset_s - next_s);
    const double hz = pitch_between(onset, end), note_power = power_between(onset, end);
    const std::int64_t over = last_loud_frame(onset, next, note_power);
    const std::int64_t from = (over + tail_after_frames) * frame_samples - tail_window_samples / 2;
    if (hz <= 0 || over >= next || from + tail_window_samples > next * frame_samples) return std::nullopt;
    const double period = Samples::rate_hz / hz;
    const auto spare = static_cast<std::size_t>(period);
    const double share = periodic_power_share(
        sound_.read(from - static_cast<std::int64_t>(spare / 2), static_cast<std::size_t>(tail_window_samples) + spare),
        period);
    return sound_.power(from, tail_window_samples) / note_power * share;
  }

 private:
  std::int64_t frame_at(double time_s) const {
    return std::clamp<std::int64_t>(std::llround(time_s / frame_s), 0, static_cast<std::int64_t>(refined_hz_.size()));
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
}  // namespace firmus::measure

namespace firmus {

double estimate_reverberation_level(const Samples& samples, std::span<const float> refined_hz,
                                    std::span<const DecodedNote> notes) {
  measure::ReverberationMeter meter(samples, refined_hz);
  std::vector<double> shares;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double next_onset_s = i + 1 < notes.size() ? notes[i + 1].onset_s : samples.duration_s();
    if (const auto share = meter.tail_power_ratio(notes[i], next_onset_s)) shares.push_back(*share);
  }
  if (shares.empty()) return 0;
  return std::sqrt(std::max(0.0, median(shares) - measure::own_release_power));
}

}  // namespace firmus
