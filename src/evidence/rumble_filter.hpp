// A take's frames one after the other, with rumble below the lowest pitch taken off.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus {

/// Frames of `width` samples centred on 0, hop, 2 hop, ... up to the take's end, high-passed (second order,
/// Butterworth) below the lowest pitch: at 50 Hz for voices, lower for basses. Reads the samples in blocks, so memory
/// does not grow with the take.
class FilteredFrames {
 public:
  FilteredFrames(const Samples& samples, double lowest_hz, int width, int hop);
  FilteredFrames(Samples&& samples, double lowest_hz, int width, int hop) = delete;  // it keeps no copy
  /// The next frame, valid until the next call; none after the last.
  std::optional<std::span<const float>> next();

 private:
  void read_block();
  const Samples& samples_;
  std::int64_t count_, frame_ = 0;  ///< frames in all, frames given
  int width_, hop_;
  std::int64_t begin_ = 0, filled_to_ = 0;  ///< sample times that `buffer_` holds
  std::vector<float> buffer_;
  double b0_, b1_, b2_, a1_, a2_, z1_ = 0, z2_ = 0;
};

}  // namespace firmus
