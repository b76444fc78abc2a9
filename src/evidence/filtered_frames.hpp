// Frames of a recording, high-passed below the lowest pitch.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::evidence {

/// Frames of `width` samples centred on 0, hop, 2 hop, ... up to the recording's end, high-passed (second order,
/// Butterworth) below the lowest pitch: at 50 Hz for voices, lower for basses. Holds one block of frames at a time, so
/// memory does not grow with the recording, and blocks may be worked on in parallel. The filter starts early enough
/// before a block that samples before its start would change its output by less than -120 dB.
class FilteredFrames {
 public:
  FilteredFrames(double lowest_hz, int width, int hop);
  /// Number of frames in a recording.
  static std::int64_t count(const Samples& samples, int hop) { return samples.size() / hop + (samples.size() > 0); }
  /// Filters the samples of `frames` frames, from `first_frame` on.
  void load(const Samples& samples, std::int64_t first_frame, std::int64_t frames);
  /// A frame of the loaded block, by its number in the recording; valid until the next load.
  std::span<const float> at(std::int64_t frame) const {
    return {buffer_.data() + lead_ + (frame - first_frame_) * hop_, static_cast<std::size_t>(width_)};
  }

 private:
  int width_, hop_;
  std::int64_t lead_;  ///< samples filtered before the first frame
  std::int64_t first_frame_ = 0;
  std::vector<float> buffer_;
  double b0_, b1_, b2_, a1_, a2_;
};

}  // namespace firmus::evidence
