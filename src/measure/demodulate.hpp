// Harmonics of a sound along a reference f0, each shifted to 0 Hz (baseband): the remaining rotation of their phase is
// the difference between true and reference f0. The reference may move (vibrato, glides): the shift follows its phase
// sample by sample.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "base/frames.hpp"
#include "base/simd.hpp"
#include "firmus/audio.hpp"

namespace firmus::measure {

inline constexpr int frame_samples = frame_hop_samples(Samples::rate_hz);  ///< 5 ms at 16 kHz

/// The baseband signals of the harmonics, low-pass filtered and decimated to 800 Hz: four samples in each frame of 5
/// ms.
class Demodulator {
 public:
  static constexpr int most_harmonics = 12;
  static constexpr int decimation = 20;
  static constexpr int values_per_frame = frame_samples / decimation;
  /// Time of a baseband sample after the first frame, in audio samples: the middle of its block of 20 (9.5 for 0).
  static constexpr double time_of(int index) { return index * decimation + 0.5 * (decimation - 1); }

  /// `ref_hz`: reference f0 at frames first_frame, first_frame + 1, ..., linear between them. The baseband samples
  /// cover all of these frames.
  void run(const Samples& samples, std::span<const double> ref_hz, std::int64_t first_frame, int harmonics);

  int size() const { return size_; }
  /// Real and imaginary parts of harmonics 1, 2, ... at one baseband sample; `harmonics` of them, rounded up to a
  /// multiple of 4.
  const float* real(int index) const { return &values_[static_cast<std::size_t>((index + 1) * 2 * held_)]; }
  const float* imag(int index) const { return real(index) + held_; }

 private:
  static constexpr int frames_at_once = lanes / values_per_frame;
  double set_blocks(int first_lane, double cycles, double from_hz, double to_hz);
  void deal_samples(const float* two_frames);

  int size_ = 0, held_ = 0;
  std::vector<float> values_, piece_;
  /// Phase of the eight blocks of two frames, in cycles: at their start, per sample, per sample squared. Element i of
  /// `samples_` holds sample i of each block.
  struct Phases {
    float8 start, slope, curvature;
  } phases_{};
  std::array<float8, decimation> samples_{};
};

}  // namespace firmus::measure
