// Harmonics of a sound along a reference pitch, each shifted to 0 Hz: what is left of their phase says how far the true
// pitch is from the reference. The reference may move (vibrato, glides): the shift follows it exactly, sample by
// sample.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "base/simd.hpp"
#include "firmus/audio.hpp"

namespace firmus::measure {

inline constexpr int frame_samples = 80;  ///< 5 ms at 16 kHz, the hop of all tracks

/// The shifted harmonics, smoothed and thinned to one knot in 1.25 ms, four between one frame and the next.
class Demodulator {
 public:
  static constexpr int most_harmonics = 12;
  static constexpr int decimation = 20;
  static constexpr int values_per_frame = frame_samples / decimation;
  /// Time of a knot after the first frame, in samples: the middle of its block of 20 (samples 0 to 19: 9.5).
  static constexpr double time_of(int index) { return index * decimation + 0.5 * (decimation - 1); }

  /// `ref_hz`: f0 at frames first_frame, first_frame + 1, ...; straight between them. Knots cover all of them.
  void run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics);

  int size() const { return size_; }
  /// Of one knot: harmonics 1, 2, ... (index 0, 1, ...), real and imaginary parts; as many as asked for, rounded up to
  /// a multiple of 4.
  const float* real(int index) const { return &values_[static_cast<std::size_t>((index + 1) * 2 * held_)]; }
  const float* imag(int index) const { return real(index) + held_; }

 private:
  static constexpr int frames_at_once = lanes / values_per_frame;
  double set_blocks(int first_lane, double cycles, double from_hz, double to_hz);
  void deal_samples(const float* two_frames);

  int size_ = 0, held_ = 0;
  std::vector<float> values_, piece_;
  /// Of two frames, eight blocks: phase at their start and its pace, in cycles; place i of `samples_` holds sample i of
  /// each.
  struct Phases {
    float8 start, pace, bend;
  } phases_{};
  std::array<float8, decimation> samples_{};
};

}  // namespace firmus::measure
