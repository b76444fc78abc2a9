// Inputs of the onset net: the features of eleven frames about the one that is judged.
#pragma once
#include <array>
#include <span>
#include <vector>

namespace firmus::onsets {

/// Features of one frame, in this order: 8 mel bands and 3 harmonics (dB relative to the recording's loud part, -50 to
/// 10), level (the same), voiced (0 or 1), NSDF peak of the f0 track, highest NSDF peak.
constexpr int frame_features = 15;
using FrameFeatures = std::array<float, frame_features>;

/// The frames of 5 ms whose features are inputs, relative to the one that is judged.
constexpr std::array<int, 11> context_offsets{-24, -16, -10, -6, -3, 0, 3, 6, 10, 16, 24};
/// At each offset besides the features: semitones from the pitch that follows the judged frame (clipped to +-3), their
/// absolute value, and 1 where either pitch is unknown.
constexpr int pitch_features = 3;
constexpr int net_inputs = static_cast<int>(context_offsets.size()) * (frame_features + pitch_features);

/// The inputs of one frame at a time. Before the first and after the last frame their features are repeated.
class NetInputs {
 public:
  /// `features` and `f0_track_hz` have one element a frame; `features` must outlive the object.
  NetInputs(std::span<const FrameFeatures> features, std::span<const float> f0_track_hz);
  void fill(std::size_t frame, std::span<float, net_inputs> out) const;

 private:
  float following_pitch(std::size_t frame) const;
  std::span<const FrameFeatures> features_;
  std::vector<float> semitones_;  ///< of the f0 track; meaningless where unvoiced
  std::vector<char> voiced_;
};

}  // namespace firmus::onsets
