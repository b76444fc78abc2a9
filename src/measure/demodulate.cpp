#include "demodulate.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr int n = Demodulator::knot_samples;

/// Three running means of n samples, one after the other (a quadratic B-spline): its images at multiples of 800 Hz are
/// 60 dB down 80 Hz beside them. One row for the knot after the block, of the block, and before it.
struct Kernel {
  alignas(16) std::array<std::array<float, n>, 3> tap{};
  Kernel() {
    std::array<double, 3 * n> h{};
    for (int a = 0; a < n; ++a)
      for (int b = 0; b < n; ++b)
        for (int c = 0; c < n; ++c) h[static_cast<std::size_t>(a + b + c + 1)] += 1.0 / (n * n * n);
    for (std::size_t i = 0; i < h.size(); ++i) tap[i / n][i % n] = static_cast<float>(h[i]);
  }
};
const Kernel kernel;

/// cos and sin of 2 pi r for |r| <= 1/2 by Taylor's series at half the angle; error under 1e-6.
inline void turn(float r, float& c, float& s) {
  // With h = pi r in [-pi/2, pi/2]: cos 2h = 1 - 2 sin^2 h, sin 2h = 2 sin h cos h.
  const float h = 3.14159265F * r;
  const float q = h * h;
  const float sine =
      h *
      (1.0F + q * (-1.0F / 6 + q * (1.0F / 120 + q * (-1.0F / 5040 + q * (1.0F / 362880 + q * (-1.0F / 39916800))))));
  const float cosine =
      1.0F +
      q * (-0.5F + q * (1.0F / 24 + q * (-1.0F / 720 + q * (1.0F / 40320 + q * (-1.0F / 3628800 + q / 479001600)))));
  c = 1.0F - 2.0F * sine * sine;
  s = 2.0F * sine * cosine;
}

}  // namespace

void Demodulator::run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics) {
  harmonics = std::clamp(harmonics, 1, most_harmonics);
  knots_ = static_cast<int>(ref_hz.size()) * knots_in_frame;
  values_.assign(static_cast<std::size_t>(knots_ + 2) * 2 * most_harmonics, 0.0F);
  phase_cycles_ = 0;
  std::int64_t begin = first_frame * frame_samples;
  for (int knot = 0; knot < knots_; ++knot, begin += n) {
    const auto frame = static_cast<std::size_t>(knot / knots_in_frame);
    const double next = ref_hz[std::min(frame + 1, ref_hz.size() - 1)];
    const double slope = (next - ref_hz[frame]) / frame_samples;
    samples.read(begin, block_);
    set_phasors(ref_hz[frame] + slope * (knot % knots_in_frame * n), slope);
    add_block(knot, harmonics);
  }
}

void Demodulator::set_phasors(double f0_hz, double slope_hz_per_sample) {
  const double step = f0_hz / Samples::rate_hz, bend = slope_hz_per_sample / Samples::rate_hz / 2;
  const auto start = static_cast<float>(phase_cycles_), step_f = static_cast<float>(step),
             bend_f = static_cast<float>(bend);
#pragma omp simd
  for (int i = 0; i < n; ++i) {
    const auto at = static_cast<float>(i);
    const float cycles = start + at * (step_f + at * bend_f);
    constexpr float to_integer = 12582912.0F;  // 1.5 * 2^23: adding it rounds to a whole number
    const float whole = (cycles + to_integer) - to_integer;
    turn(cycles - whole, cos_[i], sin_[i]);
  }
  phase_cycles_ += n * (step + n * bend);
  phase_cycles_ -= std::floor(phase_cycles_);
}

void Demodulator::add_block(int block, int harmonics) {
  alignas(16) float power_cos[n], power_sin[n];
  std::copy_n(block_, n, power_cos);
  std::fill_n(power_sin, n, 0.0F);
  const float *after = kernel.tap[0].data(), *here = kernel.tap[1].data(), *before = kernel.tap[2].data();
  float* row = &values_[static_cast<std::size_t>(block) * 2 * most_harmonics];
  for (int k = 0; k < harmonics; ++k) {
    float ar = 0, ai = 0, hr = 0, hi = 0, br = 0, bi = 0;
#pragma omp simd reduction(+ : ar, ai, hr, hi, br, bi)
    for (int i = 0; i < n; ++i) {
      const float re = power_cos[i] * cos_[i] + power_sin[i] * sin_[i];
      const float im = power_sin[i] * cos_[i] - power_cos[i] * sin_[i];
      power_cos[i] = re;
      power_sin[i] = im;
      ar += after[i] * re, ai += after[i] * im;
      hr += here[i] * re, hi += here[i] * im;
      br += before[i] * re, bi += before[i] * im;
    }
    constexpr int next = 2 * most_harmonics;
    row[k + next] += ar, row[k + next + most_harmonics] += ai;
    row[k] += hr, row[k + most_harmonics] += hi;
    if (block > 0) row[k - next] += br, row[k - next + most_harmonics] += bi;
  }
}

}  // namespace firmus::measure
