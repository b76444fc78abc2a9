#include "harmonic_levels.hpp"

#include <cmath>
#include <complex>
#include <numbers>

#include "firmus/audio.hpp"

namespace firmus {
namespace {

constexpr double highest_hz = 7600;
constexpr float silence_power = 1e-10F;
constexpr int lanes = 8;

/// |sum x_n e^(-i w n)|^2. Eight phasors run side by side, each turned by 8 w a step, so that the loop vectorises.
float power_at(const std::vector<float>& x, double omega) {
  std::array<float, lanes> re{}, im{}, sum_re{}, sum_im{};
  for (int i = 0; i < lanes; ++i) {
    re[static_cast<std::size_t>(i)] = static_cast<float>(std::cos(omega * i));
    im[static_cast<std::size_t>(i)] = static_cast<float>(std::sin(omega * i));
  }
  const auto turn_re = static_cast<float>(std::cos(omega * lanes)),
             turn_im = static_cast<float>(std::sin(omega * lanes));
  for (std::size_t n = 0; n < x.size(); n += lanes) {
    for (std::size_t i = 0; i < lanes; ++i) {
      sum_re[i] += x[n + i] * re[i];
      sum_im[i] += x[n + i] * im[i];
      const float turned = re[i] * turn_re - im[i] * turn_im;
      im[i] = re[i] * turn_im + im[i] * turn_re;
      re[i] = turned;
    }
  }
  float total_re = 0, total_im = 0;
  for (std::size_t i = 0; i < lanes; ++i) {
    total_re += sum_re[i];
    total_im += sum_im[i];
  }
  return total_re * total_re + total_im * total_im;
}

}  // namespace

HarmonicLevels::HarmonicLevels() : window_(frame_samples), windowed_(frame_samples) {
  static_assert(frame_samples % lanes == 0);
  double sum = 0;
  for (int i = 0; i < frame_samples; ++i) {
    const double value = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * (i + 0.5) / frame_samples);
    window_[static_cast<std::size_t>(i)] = static_cast<float>(value);
    sum += value;
  }
  for (auto& value : window_) value = static_cast<float>(value * 2 / sum);
}

std::array<float, HarmonicLevels::harmonics> HarmonicLevels::levels_db(std::span<const float> frame, double f0_hz) {
  for (std::size_t i = 0; i < frame_samples; ++i) windowed_[i] = frame[i] * window_[i];
  std::array<float, harmonics> levels{};
  for (int h = 0; h < harmonics; ++h) {
    const double hz = f0_hz * (h + 1);
    const float power = hz < highest_hz ? power_at(windowed_, 2 * std::numbers::pi * hz / Samples::rate_hz) : 0.0F;
    levels[static_cast<std::size_t>(h)] = 10.0F * std::log10(power + silence_power);
  }
  return levels;
}

}  // namespace firmus
