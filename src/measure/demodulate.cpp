#include "demodulate.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr int n = Demodulator::decimation;
/// Low-pass filter before decimation: three running means of n samples in cascade (a quadratic B-spline), which
/// attenuates aliases by 60 dB within 80 Hz of the multiples of 800 Hz. Rows: the taps that a block contributes to the
/// output after it, at it, and before it; each tap is repeated for all lanes.
struct Kernel {
  std::array<std::array<float8, n>, 3> tap{};
  Kernel() {
    std::array<double, 3 * n> h{};
    for (int a = 0; a < n; ++a)
      for (int b = 0; b < n; ++b)
        for (int c = 0; c < n; ++c) h[static_cast<std::size_t>(a + b + c + 1)] += 1.0 / (n * n * n);
    for (std::size_t i = 0; i < h.size(); ++i) tap[i / n][i % n] = float8{} + static_cast<float>(h[i]);
  }
};
const Kernel kernel;

/// cos and sin of 2 pi r for |r| <= 1/2 by Taylor's series at half the angle; error under 1e-6.
FIRMUS_INLINE void cos_sin(const float8& r, float8& c, float8& s) {
  // With h = pi r in [-pi/2, pi/2]: cos 2h = 1 - 2 sin^2 h, sin 2h = 2 sin h cos h.
  const float8 h = 3.14159265F * r;
  const float8 q = h * h;
  const float8 sine =
      h *
      (1.0F + q * (-1.0F / 6 + q * (1.0F / 120 + q * (-1.0F / 5040 + q * (1.0F / 362880 + q * (-1.0F / 39916800))))));
  const float8 cosine =
      1.0F +
      q * (-0.5F + q * (1.0F / 24 + q * (-1.0F / 720 + q * (1.0F / 40320 + q * (-1.0F / 3628800 + q / 479001600.0F)))));
  c = 1.0F - 2.0F * sine * sine;
  s = 2.0F * sine * cosine;
}

/// cos and sin of the first harmonic's phase at each of the 20 places of eight blocks.
using Phasors = std::array<float8, n>;

FIRMUS_MULTIVERSION void set_phasors(const float8& start, const float8& slope, const float8& curvature, Phasors& c,
                                     Phasors& s) {
  for (int i = 0; i < n; ++i) {
    const auto at = static_cast<float>(i);
    const float8 turned = start + at * (slope + at * curvature);
    constexpr float to_integer = 12582912.0F;  // 1.5 * 2^23: adding it rounds to a whole number
    const float8 whole = (turned + to_integer) - to_integer;
    cos_sin(turned - whole, c[static_cast<std::size_t>(i)], s[static_cast<std::size_t>(i)]);
  }
}

/// What one harmonic of eight blocks contributes to the outputs after, at and before each.
struct OutputSums {
  float8 after_re{}, after_im{}, here_re{}, here_im{}, before_re{}, before_im{};
};

/// Adds the sums of eight blocks in turn. Outputs are `row` values apart, imaginary parts `row` / 2 after the real
/// ones.
FIRMUS_INLINE void add_to_outputs(const OutputSums& sums, int row, float* out) {
  for (int j = 0; j < lanes; ++j, out += row) {
    float* const im = out + row / 2;
    out[0] += sums.before_re[j], im[0] += sums.before_im[j];
    out[row] += sums.here_re[j], im[row] += sums.here_im[j];
    out[2 * row] += sums.after_re[j], im[2 * row] += sums.after_im[j];
  }
}

/// Shifts harmonic after harmonic of eight blocks to baseband and adds them to their outputs.
FIRMUS_MULTIVERSION void add_blocks(const Phasors& samples, const Phasors& c, const Phasors& s, int harmonics, int row,
                                    float* values) {
  Phasors power_re = samples, power_im{};
  for (int k = 0; k < harmonics; ++k) {
    OutputSums sums;
    for (std::size_t i = 0; i < n; ++i) {
      const float8 re = power_re[i] * c[i] + power_im[i] * s[i];
      const float8 im = power_im[i] * c[i] - power_re[i] * s[i];
      power_re[i] = re, power_im[i] = im;
      sums.after_re += kernel.tap[0][i] * re, sums.after_im += kernel.tap[0][i] * im;
      sums.here_re += kernel.tap[1][i] * re, sums.here_im += kernel.tap[1][i] * im;
      sums.before_re += kernel.tap[2][i] * re, sums.before_im += kernel.tap[2][i] * im;
    }
    add_to_outputs(sums, row, values + k);
  }
}

}  // namespace

void Demodulator::run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics) {
  harmonics = std::clamp(harmonics, 1, most_harmonics);
  held_ = (harmonics + 3) / 4 * 4;
  const std::size_t count = ref_hz.size(), padded = (count + 1) / frames_at_once * frames_at_once;
  size_ = static_cast<int>(count) * values_per_frame;
  values_.assign((padded * values_per_frame + 2) * 2 * static_cast<std::size_t>(held_), 0.0F);
  piece_.resize(padded * frame_samples);
  samples.read(first_frame * frame_samples, piece_);
  const auto reference = [&](std::size_t frame) { return ref_hz[std::min(frame, count - 1)]; };
  double cycles = 0;
  Phasors c, s;
  for (std::size_t frame = 0; frame < padded; frame += frames_at_once) {
    for (std::size_t f = 0; f < frames_at_once; ++f)
      cycles =
          set_blocks(static_cast<int>(f) * values_per_frame, cycles, reference(frame + f), reference(frame + f + 1));
    set_phasors(phases_.start, phases_.slope, phases_.curvature, c, s);
    deal_samples(&piece_[frame * frame_samples]);
    // values_ begins with the output before the first, which nothing reads: the first block needs no exception.
    add_blocks(samples_, c, s, harmonics, 2 * held_,
               &values_[frame * values_per_frame * 2 * static_cast<std::size_t>(held_)]);
  }
}

/// Sets the phases of the four blocks of a frame in which f0 moves linearly from `from_hz` to `to_hz`; returns the
/// phase at its end, in cycles.
double Demodulator::set_blocks(int first_lane, double cycles, double from_hz, double to_hz) {
  const double step = from_hz / Samples::rate_hz;
  const double curvature = (to_hz - from_hz) / frame_samples / Samples::rate_hz / 2;
  // Each block counts from its own start, so that float is exact enough.
  for (int j = 0; j < values_per_frame; ++j) {
    const double at = j * n, phase = cycles + at * (step + at * curvature);
    phases_.start[first_lane + j] = static_cast<float>(phase - std::floor(phase));
    phases_.slope[first_lane + j] = static_cast<float>(step + 2 * at * curvature);
    phases_.curvature[first_lane + j] = static_cast<float>(curvature);
  }
  const double end = cycles + frame_samples * (step + frame_samples * curvature);
  return end - std::floor(end);
}

void Demodulator::deal_samples(const float* two_frames) {
  for (std::size_t i = 0; i < n; ++i)
    for (int j = 0; j < lanes; ++j) samples_[i][j] = two_frames[static_cast<std::size_t>(j) * n + i];
}

}  // namespace firmus::measure
