// Energy of a frame in a few broad bands of the mel scale.
#pragma once
#include <array>
#include <span>
#include <vector>

#include "evidence/pair_fft.hpp"

namespace firmus::onsets {

/// 24 triangles on the mel scale (Stevens, Volkmann & Newman 1937; 2595 log10(1 + f/700)) from 60 to 7600 Hz, their dB
/// averaged in threes to 8 bands. Window: Hann, 25 ms.
class MelBands {
 public:
  static constexpr int bands = 8;
  static constexpr int frame_samples = 400;
  using Levels = std::array<float, bands>;
  MelBands();
  /// Levels of two frames, which share one transform.
  std::array<Levels, 2> levels_db(std::span<const float> first, std::span<const float> second);

 private:
  static constexpr int triangles = 24;
  struct Triangle {
    int first = 0;              ///< index of its first bin in the powers
    std::vector<float> weight;  ///< padded with zeros to a multiple of eight
  };
  Levels levels_of(const std::vector<float>& power) const;
  evidence::PairFft fft_;
  std::vector<float> window_;
  std::array<Triangle, triangles> triangles_;
  std::array<std::vector<float>, 2> powers_;
};

}  // namespace firmus::onsets
