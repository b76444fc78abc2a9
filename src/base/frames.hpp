// The time grid of every track: frames of 5 ms, frame i centred on i * frame_hop_s.
#pragma once
#include <cstddef>

namespace firmus {

inline constexpr double frame_hop_s = 0.005;

/// Samples from one frame to the next.
constexpr int frame_hop_samples(int rate_hz) {
  return static_cast<int>(frame_hop_s * rate_hz + 0.5);
}

/// Time of a frame's centre, in seconds from the start of the recording.
constexpr double time_of_frame(std::size_t frame) {
  return static_cast<double>(frame) * frame_hop_s;
}

/// The frame nearest to `time_s`, which is not negative.
constexpr std::size_t frame_at(double time_s) {
  return static_cast<std::size_t>(time_s / frame_hop_s + 0.5);
}

}  // namespace firmus
