#include "harmonic_levels.hpp"

#include <cmath>
#include <complex>
#include <numbers>

#include "base/simd.hpp"
#include "firmus/audio.hpp"
#include "hann_window.hpp"

namespace firmus::onsets {
namespace {

constexpr double highest_hz = 7600;
constexpr float silence_power = 1e-10F;
constexpr int half = HarmonicLevels::frame_samples / 2;

/// cos and sin of the fundamental's phase half a sample after the frame's middle and at the next seven samples, and the
/// rotation by eight samples.
struct Phasors {
  float8 cosine, sine;
  float rotation_cosine, rotation_sine;
};

void set(double omega, Phasors& phasors) {
  std::complex<double> at = std::polar(1.0, omega / 2);
  const std::complex<double> step = at * at;
  for (int i = 0; i < lanes; ++i, at *= step) {
    phasors.cosine[i] = static_cast<float>(at.real());
    phasors.sine[i] = static_cast<float>(at.imag());
  }
  const std::complex<double> two = step * step, four = two * two, eight = four * four;
  phasors.rotation_cosine = static_cast<float>(eight.real());
  phasors.rotation_sine = static_cast<float>(eight.imag());
}

/// The frame is folded about its middle: its even part needs only cosines, its odd part only sines. The phasors of the
/// second and third harmonic are powers of the first one's.
FIRMUS_MULTIVERSION void powers_at(const float* frame, const float* window, const Phasors& start, float* powers) {
  Phasors at = start;
  float8 even1{}, even2{}, even3{}, odd1{}, odd2{}, odd3{};
  for (int n = 0; n < half; n += lanes) {
    float8 later, early, weight;
    load(frame + half + n, later);
    load(frame + half - lanes - n, early);
    load(window + n, weight);
    early = __builtin_shufflevector(early, early, 7, 6, 5, 4, 3, 2, 1, 0);
    const float8 even = (later + early) * weight, odd = (later - early) * weight;
    const float8 c1 = at.cosine, s1 = at.sine;
    const float8 c2 = c1 * c1 - s1 * s1, s2 = 2.0F * c1 * s1;
    even1 += even * c1, odd1 += odd * s1;
    even2 += even * c2, odd2 += odd * s2;
    even3 += even * (c2 * c1 - s2 * s1), odd3 += odd * (s2 * c1 + c2 * s1);
    at.cosine = c1 * at.rotation_cosine - s1 * at.rotation_sine;
    at.sine = s1 * at.rotation_cosine + c1 * at.rotation_sine;
  }
  const auto power = [](const float8& cosines, const float8& sines) {
    const float c = total(cosines), s = total(sines);
    return c * c + s * s;
  };
  powers[0] = power(even1, odd1);
  powers[1] = power(even2, odd2);
  powers[2] = power(even3, odd3);
}

}  // namespace

HarmonicLevels::HarmonicLevels() {
  static_assert(half % lanes == 0);
  const std::vector<float> window = hann_window(frame_samples);
  window_.assign(window.begin() + half, window.end());
}

std::array<float, HarmonicLevels::harmonics> HarmonicLevels::levels_db(std::span<const float> frame, double f0_hz) {
  Phasors phasors;
  set(2 * std::numbers::pi * f0_hz / Samples::rate_hz, phasors);
  std::array<float, harmonics> levels{};
  powers_at(frame.data(), window_.data(), phasors, levels.data());
  for (int h = 0; h < harmonics; ++h) {
    float& level = levels[static_cast<std::size_t>(h)];
    level = 10.0F * std::log10((f0_hz * (h + 1) < highest_hz ? level : 0.0F) + silence_power);
  }
  return levels;
}

}  // namespace firmus::onsets
