// Levels of the first harmonics at a known f0: a sung note starts where its second harmonic appears.
#pragma once
#include <array>
#include <span>
#include <vector>

namespace firmus::onsets {

/// Levels of harmonics 1 to 3 in dB (a full-scale sine: 0) by one Fourier sum each, under a Hann window of 40 ms.
class HarmonicLevels {
 public:
  static constexpr int harmonics = 3;
  static constexpr int frame_samples = 640;
  HarmonicLevels();
  /// `frame`: frame_samples samples. Harmonics above 7.6 kHz count as silent.
  std::array<float, harmonics> levels_db(std::span<const float> frame, double f0_hz);

 private:
  std::vector<float> window_;  ///< second half: the window is symmetric
};

}  // namespace firmus::onsets
