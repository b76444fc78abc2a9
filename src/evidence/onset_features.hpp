// What the onset net looks at: fifteen measures a frame, seen at eleven offsets, and the pitch around.
#pragma once
#include <array>
#include <span>
#include <vector>

#include "evidence/evidence.hpp"

namespace firmus {

/// Measures of one frame, in this order: 8 mel bands and 3 harmonics (dB against the take's loud part, -50 to 10),
/// level (the same), voiced (0 or 1), strength of the line's candidate, strength of the best candidate.
constexpr int frame_measures = 15;
using FrameMeasures = std::array<float, frame_measures>;

/// Where the net looks, in frames of 5 ms from the one it judges: closer together where it matters.
constexpr std::array<int, 11> look_offsets{-24, -16, -10, -6, -3, 0, 3, 6, 10, 16, 24};
/// At each offset besides the measures: semitones from the pitch that follows (clipped to +-3), their absolute value,
/// unvoiced flag.
constexpr int pitch_measures = 3;
constexpr int net_inputs = static_cast<int>(look_offsets.size()) * (frame_measures + pitch_measures);

/// Inputs of the net for one frame after the other. Beyond the take's ends the first and last frames stand.
class NetInputs {
 public:
  /// `measures` and `f0_track_hz` have one entry per frame and must outlive the object.
  NetInputs(std::span<const FrameMeasures> measures, std::span<const float> f0_track_hz);
  void fill(std::size_t frame, std::span<float, net_inputs> out) const;

 private:
  float following_pitch(std::size_t frame) const;
  std::span<const FrameMeasures> measures_;
  std::vector<float> semitones_;  ///< of the line; meaningless where unvoiced
  std::vector<char> voiced_;
};

}  // namespace firmus
