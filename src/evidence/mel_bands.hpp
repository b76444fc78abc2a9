// Energy of a frame in a few broad bands of the mel scale.
#pragma once
#include <array>
#include <span>
#include <vector>

#include "pair_fft.hpp"

namespace firmus {

/// 24 triangles on the mel scale (Stevens, Volkmann & Newman 1937; 2595 log10(1 + f/700)) from 60 to 7600 Hz, their dB
/// averaged by threes to 8 bands. Window: Hann, 25 ms.
class MelBands {
 public:
  static constexpr int bands = 8;
  static constexpr int frame_samples = 400;
  using Levels = std::array<float, bands>;
  MelBands();
  /// Levels of two frames at once, since two take hardly longer than one.
  std::array<Levels, 2> levels_db(std::span<const float> first, std::span<const float> second);

 private:
  static constexpr int triangles = 24;
  struct Triangle {
    int place = 0;              ///< of its first bin, among powers
    std::vector<float> weight;  ///< as many as a multiple of eight, the last ones 0
  };
  Levels levels_of(const std::vector<float>& power) const;
  PairFft fft_;
  std::vector<float> window_;
  std::array<Triangle, triangles> triangles_;
  std::array<std::vector<float>, 2> powers_;
};

}  // namespace firmus
