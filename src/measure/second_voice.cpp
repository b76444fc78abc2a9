#include "second_voice.hpp"

#include <algorithm>
#include <cmath>

#include "demodulate.hpp"
#include "firmus/theory.hpp"
#include "measure/measure.hpp"

namespace firmus {
namespace measure {
namespace {

constexpr int window_samples = 1024;  ///< 64 ms: two periods and more of the lowest second voice looked for
constexpr int thinning = 4;           ///< the rest is looked at at 4 kHz: f0 up to 800 Hz
constexpr double thin_rate_hz = static_cast<double>(Samples::rate_hz) / thinning;
constexpr double lowest_hz = 62, highest_hz = 800;
constexpr double least_power_share = 0.02;   ///< -17 dB under the first voice; below it does not disturb
constexpr double least_periodicity = 0.65;   ///< of what is left; noise stays under 0.4, jitter is periodic at f0
constexpr double related_within_cents = 60;  ///< of a multiple or a fraction of the first voice's period

/// Whether a period is a small multiple or fraction of the first voice's.
bool related(double hz, double f0_hz) {
  for (int k = 1; k <= 8; ++k)
    for (const double kin : {f0_hz * k, f0_hz / k})
      if (std::abs(cents_between(kin, hz)) < related_within_cents) return true;
  return false;
}

}  // namespace

/// x(t) - x(t - period) takes everything periodic out; returns the power that stays, against that of the sound.
double SecondVoiceEar::take_out(double f0_hz) {
  const double period = Samples::rate_hz / f0_hz;
  const auto whole = static_cast<std::size_t>(period);
  const auto part = static_cast<float>(period - static_cast<double>(whole));
  const std::size_t count = sound_.size() - whole - 1;
  left_.resize(count);
  double power = 1e-12, left_power = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const float now = sound_[i + whole + 1];
    left_[i] = now - (sound_[i + 1] * (1 - part) + sound_[i] * part);
    power += static_cast<double>(now) * now, left_power += static_cast<double>(left_[i]) * left_[i];
  }
  return left_power / (2 * power);
}

/// Pitch of what is left, if it is periodic and not related to f0; else 0.
double SecondVoiceEar::unrelated_hz(double f0_hz) const {
  const std::size_t n = thin_.size();
  const auto shortest = static_cast<std::size_t>(thin_rate_hz / highest_hz);
  const auto longest = std::min(static_cast<std::size_t>(thin_rate_hz / lowest_hz), n / 2);
  double best = 0, best_hz = 0, before = 1, now = 1;
  for (std::size_t lag = shortest - 1; lag <= longest; ++lag) {
    const std::size_t pairs = n - lag;
    const float *early = thin_.data(), *late = thin_.data() + lag;
    float cross = 0, energy = 0;
#pragma omp simd reduction(+ : cross, energy)
    for (std::size_t i = 0; i < pairs; ++i) {
      cross += early[i] * late[i];
      energy += early[i] * early[i] + late[i] * late[i];
    }
    const double next = 2 * static_cast<double>(cross) / (static_cast<double>(energy) + 1e-12);
    if (lag > shortest && now > before && now >= next && now > best) {
      const double shift = 0.5 * (before - next) / (before - 2 * now + next);
      best = now, best_hz = thin_rate_hz / (static_cast<double>(lag - 1) + shift);
    }
    before = now, now = next;
  }
  return best >= least_periodicity && !related(best_hz, f0_hz) ? best_hz : 0;
}

bool SecondVoiceEar::hears(std::int64_t frame, double f0_hz) {
  sound_.resize(window_samples + static_cast<std::size_t>(Samples::rate_hz / f0_hz));
  samples_.read(frame * frame_samples - static_cast<std::int64_t>(sound_.size()) / 2, sound_);
  if (take_out(f0_hz) < least_power_share) return false;
  thin_.resize(left_.size() / thinning);
  for (std::size_t i = 0; i < thin_.size(); ++i)
    thin_[i] = left_[4 * i] + left_[4 * i + 1] + left_[4 * i + 2] + left_[4 * i + 3];
  return unrelated_hz(f0_hz) > 0;
}

}  // namespace measure

std::optional<RecordingWarning> find_second_voice(const Samples& samples, std::span<const float> refined_hz) {
  constexpr std::size_t most_looks = 400;
  constexpr double least_share = 0.3;  ///< one voice in a reverberant room: measured up to 0.2
  std::vector<std::size_t> voiced;
  for (std::size_t i = 0; i < refined_hz.size(); ++i)
    if (refined_hz[i] > 0) voiced.push_back(i);
  const std::size_t step = std::max<std::size_t>(10, voiced.size() / most_looks);
  measure::SecondVoiceEar ear(samples);
  int heard = 0, looks = 0;
  for (std::size_t i = step / 2; i < voiced.size(); i += step, ++looks)
    heard += ear.hears(static_cast<std::int64_t>(voiced[i]), refined_hz[voiced[i]]) ? 1 : 0;
  if (looks < 20 || heard < least_share * looks) return std::nullopt;
  const long percent = std::lround(100.0 * heard / looks);
  return RecordingWarning{RecordingFault::second_voice,
                          "a second pitch sounds under " + std::to_string(percent) + " % of the singing",
                          "Record one voice alone, with the accompaniment in headphones."};
}

}  // namespace firmus
