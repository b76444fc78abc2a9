#include "second_pitch.hpp"

#include <algorithm>
#include <cmath>

#include "demodulate.hpp"
#include "firmus/theory.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

constexpr int window_samples = 1024;  ///< 64 ms: nearly four periods of the lowest second pitch
constexpr int decimation = 4;         ///< the residual is analysed at 4 kHz: f0 up to 800 Hz
constexpr double decimated_rate_hz = static_cast<double>(Samples::rate_hz) / decimation;
constexpr double lowest_hz = 62, highest_hz = 800;
constexpr double least_power_share = 0.02;   ///< a residual of less than -17 dB does not disturb the first pitch
constexpr double least_periodicity = 0.65;   ///< of the residual; noise stays below 0.4, jitter is periodic at f0
constexpr double related_within_cents = 60;  ///< of a multiple or a fraction of the first pitch

/// Whether hz is a small multiple or fraction of f0_hz.
bool harmonically_related(double hz, double f0_hz) {
  for (int k = 1; k <= 8; ++k)
    for (const double multiple_hz : {f0_hz * k, f0_hz / k})
      if (std::abs(cents_between(Hertz(multiple_hz), Hertz(hz))) < related_within_cents) return true;
  return false;
}

}  // namespace

bool holds_pitch(std::span<const float> refined_hz, std::size_t frame) {
  constexpr std::size_t reach = 7;
  constexpr double within_cents = 40;
  float low = refined_hz[frame], high = low;
  for (std::size_t i = frame - std::min(frame, reach); i < std::min(refined_hz.size(), frame + reach + 1); ++i) {
    if (refined_hz[i] <= 0) continue;
    low = std::min(low, refined_hz[i]);
    high = std::max(high, refined_hz[i]);
  }
  return cents_between(Hertz(low), Hertz(high)) < within_cents;
}

/// The comb filter x(t) - x(t - period) cancels all harmonics of f0; returns the share of power that remains.
double SecondPitchDetector::subtract_harmonics(double f0_hz) {
  const double period = Samples::rate_hz / f0_hz;
  const auto whole = static_cast<std::size_t>(period);
  const auto part = static_cast<float>(period - static_cast<double>(whole));
  const std::size_t count = sound_.size() - whole - 1;
  residual_.resize(count);
  double power = 1e-12, residual_power = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const float now = sound_[i + whole + 1];
    residual_[i] = now - (sound_[i + 1] * (1 - part) + sound_[i] * part);
    power += static_cast<double>(now) * now, residual_power += static_cast<double>(residual_[i]) * residual_[i];
  }
  return residual_power / (2 * power);
}

/// Pitch of the residual by normalised autocorrelation, if it is periodic and not harmonically related to f0; else 0.
double SecondPitchDetector::unrelated_hz(double f0_hz) const {
  const std::size_t n = decimated_.size();
  const auto shortest = static_cast<std::size_t>(decimated_rate_hz / highest_hz);
  const auto longest = std::min(static_cast<std::size_t>(decimated_rate_hz / lowest_hz), n / 2);
  double best = 0, best_hz = 0, before = 1, now = 1;
  for (std::size_t lag = shortest - 1; lag <= longest; ++lag) {
    const std::size_t pairs = n - lag;
    const float *early = decimated_.data(), *late = decimated_.data() + lag;
    float cross = 0, energy = 0;
#pragma omp simd reduction(+ : cross, energy)
    for (std::size_t i = 0; i < pairs; ++i) {
      cross += early[i] * late[i];
      energy += early[i] * early[i] + late[i] * late[i];
    }
    const double next = 2 * static_cast<double>(cross) / (static_cast<double>(energy) + 1e-12);
    if (lag > shortest && now > before && now >= next && now > best) {
      const double shift = 0.5 * (before - next) / (before - 2 * now + next);
      best = now, best_hz = decimated_rate_hz / (static_cast<double>(lag - 1) + shift);
    }
    before = now, now = next;
  }
  return best >= least_periodicity && !harmonically_related(best_hz, f0_hz) ? best_hz : 0;
}

bool SecondPitchDetector::detects(std::int64_t frame, double f0_hz) {
  sound_.resize(window_samples + static_cast<std::size_t>(Samples::rate_hz / f0_hz));
  samples_.read(frame * frame_samples - static_cast<std::int64_t>(sound_.size()) / 2, sound_);
  if (subtract_harmonics(f0_hz) < least_power_share) return false;
  decimated_.resize(residual_.size() / decimation);
  for (std::size_t i = 0; i < decimated_.size(); ++i)
    decimated_[i] = residual_[4 * i] + residual_[4 * i + 1] + residual_[4 * i + 2] + residual_[4 * i + 3];
  return unrelated_hz(f0_hz) > 0;
}

}  // namespace firmus::measure

namespace firmus {

std::optional<RecordingWarning> detect_second_pitch(const Samples& samples, std::span<const float> refined_hz) {
  constexpr std::size_t most_moments = 400;
  constexpr double least_share = 0.3;  // one voice in a reverberant room: up to 0.2 measured
  std::vector<std::size_t> voiced;
  for (std::size_t i = 0; i < refined_hz.size(); ++i)
    if (refined_hz[i] > 0) voiced.push_back(i);
  const std::size_t step = std::max<std::size_t>(10, voiced.size() / most_moments);
  measure::SecondPitchDetector detector(samples);
  int detected = 0, moments = 0;
  for (std::size_t i = step / 2; i < voiced.size(); i += step) {
    if (!measure::holds_pitch(refined_hz, voiced[i])) continue;
    ++moments;
    detected += detector.detects(static_cast<std::int64_t>(voiced[i]), refined_hz[voiced[i]]) ? 1 : 0;
  }
  if (moments < 20 || detected < least_share * moments) return std::nullopt;
  const long percent = std::lround(100.0 * detected / moments);
  return RecordingWarning{RecordingFault::second_voice,
                          "a second pitch sounds under " + std::to_string(percent) + " % of the singing",
                          "Record one voice alone, with the accompaniment in headphones."};
}

}  // namespace firmus
