// Harmonics of a sound along a reference pitch, each shifted to 0 Hz: what is left of their phase says how far the true
// pitch is from the reference. The reference may move (vibrato, glides): the shift follows it exactly, sample by
// sample.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::measure {

inline constexpr int frame_samples = 80;  ///< 5 ms at 16 kHz, the hop of all tracks

/// Four values worked on at once (a vector type of gcc and clang; plain C++ loops spilled the sums to memory).
using Four [[gnu::vector_size(16)]] = float;

/// The shifted harmonics, smoothed and thinned to one knot in 1.25 ms, four between one frame and the next.
class Demodulator {
 public:
  static constexpr int most_harmonics = 12;
  static constexpr int knot_samples = 20;
  static constexpr int knots_in_frame = frame_samples / knot_samples;
  /// Time of a knot after the first frame, in samples: the middle of its block of 20 (samples 0 to 19: 9.5).
  static constexpr double knot_time(int knot) { return knot * knot_samples + 0.5 * (knot_samples - 1); }

  /// `ref_hz`: f0 at frames first_frame, first_frame + 1, ...; straight between them. Knots cover all of them.
  void run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics);

  int knots() const { return knots_; }
  /// Of one knot: harmonics 1, 2, ... (index 0, 1, ...), real and imaginary parts.
  const float* real(int knot) const { return &values_[static_cast<std::size_t>(knot + 1) * row]; }
  const float* imag(int knot) const { return real(knot) + most_harmonics; }

 private:
  static constexpr int row = 2 * most_harmonics;
  double set_phasors(double cycles, double from_hz, double to_hz);
  void deal_samples(const float* frame);
  void add_frame(int frame, int harmonics);

  int knots_ = 0;
  std::vector<float> values_, piece_;
  /// Of one frame: place i holds sample i of each of its four blocks.
  std::array<Four, knot_samples> samples_{}, cos_{}, sin_{};
};

}  // namespace firmus::measure
