#include "demodulate.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr int n = Demodulator::knot_samples;
constexpr int lanes = Demodulator::knots_in_frame;  ///< the four blocks of a frame are worked on side by side

/// Three running means of n samples, one after the other (a quadratic B-spline): its images at multiples of 800 Hz are
/// 60 dB down 80 Hz beside them. One row for the knot after the block, of the block, and before it; every tap stands
/// there once for each lane.
struct Kernel {
  std::array<std::array<Four, n>, 3> tap{};
  Kernel() {
    std::array<double, 3 * n> h{};
    for (int a = 0; a < n; ++a)
      for (int b = 0; b < n; ++b)
        for (int c = 0; c < n; ++c) h[static_cast<std::size_t>(a + b + c + 1)] += 1.0 / (n * n * n);
    for (std::size_t i = 0; i < h.size(); ++i) tap[i / n][i % n] = Four{} + static_cast<float>(h[i]);
  }
};
const Kernel kernel;

/// cos and sin of 2 pi r for |r| <= 1/2 by Taylor's series at half the angle; error under 1e-6.
inline void turn(Four r, Four& c, Four& s) {
  // With h = pi r in [-pi/2, pi/2]: cos 2h = 1 - 2 sin^2 h, sin 2h = 2 sin h cos h.
  const Four h = 3.14159265F * r;
  const Four q = h * h;
  const Four sine =
      h *
      (1.0F + q * (-1.0F / 6 + q * (1.0F / 120 + q * (-1.0F / 5040 + q * (1.0F / 362880 + q * (-1.0F / 39916800))))));
  const Four cosine =
      1.0F +
      q * (-0.5F + q * (1.0F / 24 + q * (-1.0F / 720 + q * (1.0F / 40320 + q * (-1.0F / 3628800 + q / 479001600.0F)))));
  c = 1.0F - 2.0F * sine * sine;
  s = 2.0F * sine * cosine;
}

}  // namespace

void Demodulator::run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics) {
  harmonics = std::clamp(harmonics, 1, most_harmonics);
  knots_ = static_cast<int>(ref_hz.size()) * knots_in_frame;
  values_.assign(static_cast<std::size_t>(knots_ + 2) * row, 0.0F);
  piece_.resize(ref_hz.size() * frame_samples);
  samples.read(first_frame * frame_samples, piece_);
  double cycles = 0;
  for (std::size_t frame = 0; frame < ref_hz.size(); ++frame) {
    const double next = ref_hz[std::min(frame + 1, ref_hz.size() - 1)];
    cycles = set_phasors(cycles, ref_hz[frame], next);
    deal_samples(&piece_[frame * frame_samples]);
    add_frame(static_cast<int>(frame), harmonics);
  }
}

/// Phasors of the first harmonic over a frame, f0 going straight from `from_hz` to `to_hz`; returns the phase at its
/// end.
double Demodulator::set_phasors(double cycles, double from_hz, double to_hz) {
  const double step = from_hz / Samples::rate_hz;
  const double bend = (to_hz - from_hz) / frame_samples / Samples::rate_hz / 2;
  // Each block counts from its own start, in float: the phase within 20 samples needs no more.
  Four start{}, pace{};
  for (int j = 0; j < lanes; ++j) {
    const double at = j * n, phase = cycles + at * (step + at * bend);
    start[j] = static_cast<float>(phase - std::floor(phase));
    pace[j] = static_cast<float>(step + 2 * at * bend);
  }
  const auto bend_f = static_cast<float>(bend);
  for (int i = 0; i < n; ++i) {
    const auto at = static_cast<float>(i);
    const Four turned = start + at * (pace + at * bend_f);
    constexpr float to_integer = 12582912.0F;  // 1.5 * 2^23: adding it rounds to a whole number
    const Four whole = (turned + to_integer) - to_integer;
    turn(turned - whole, cos_[static_cast<std::size_t>(i)], sin_[static_cast<std::size_t>(i)]);
  }
  const double end = cycles + frame_samples * (step + frame_samples * bend);
  return end - std::floor(end);
}

void Demodulator::deal_samples(const float* frame) {
  for (std::size_t i = 0; i < n; ++i) samples_[i] = Four{frame[i], frame[n + i], frame[2 * n + i], frame[3 * n + i]};
}

void Demodulator::add_frame(int frame, int harmonics) {
  std::array<Four, n> power_re = samples_, power_im{};
  for (int k = 0; k < harmonics; ++k) {
    Four after_re{}, after_im{}, here_re{}, here_im{}, before_re{}, before_im{};
    for (std::size_t i = 0; i < n; ++i) {
      const Four re = power_re[i] * cos_[i] + power_im[i] * sin_[i];
      const Four im = power_im[i] * cos_[i] - power_re[i] * sin_[i];
      power_re[i] = re, power_im[i] = im;
      after_re += kernel.tap[0][i] * re, after_im += kernel.tap[0][i] * im;
      here_re += kernel.tap[1][i] * re, here_im += kernel.tap[1][i] * im;
      before_re += kernel.tap[2][i] * re, before_im += kernel.tap[2][i] * im;
    }
    // values_ begins with the knot before the first, which nothing reads, so that the first block needs no exception.
    float* knot = &values_[static_cast<std::size_t>(frame * lanes) * row] + k;
    for (int j = 0; j < lanes; ++j, knot += row) {
      knot[0] += before_re[j], knot[most_harmonics] += before_im[j];
      knot[row] += here_re[j], knot[row + most_harmonics] += here_im[j];
      knot[2 * row] += after_re[j], knot[2 * row + most_harmonics] += after_im[j];
    }
  }
}

}  // namespace firmus::measure
