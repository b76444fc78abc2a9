// Energy of one frame in a few broad bands of the mel scale.
#pragma once
#include <array>
#include <span>
#include <vector>

#include "real_fft.hpp"

namespace firmus {

/// 24 triangles on the mel scale (Stevens, Volkmann & Newman 1937; 2595 log10(1 + f/700)) from 60 to 7600 Hz, their dB
/// averaged by threes to 8 bands. Window: Hann, 25 ms.
class MelBands {
 public:
  static constexpr int bands = 8;
  static constexpr int frame_samples = 400;
  MelBands();
  std::array<float, bands> levels_db(std::span<const float> frame);

 private:
  static constexpr int triangles = 24;
  struct Triangle {
    int first_bin = 0;
    std::vector<float> weight;
  };
  RealFft fft_;
  std::vector<float> window_;
  std::array<Triangle, triangles> triangles_;
  std::vector<float> power_;
};

}  // namespace firmus
