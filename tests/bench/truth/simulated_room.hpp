// A room as its walls make it: every reflection of a box up to its reverberation time, by the image source method.
#pragma once
#include <cstdint>
#include <vector>

namespace firmus::truth {

/// What is heard in a room, and from how far.
struct RoomSound {
  double reverberation_s = 0.5;  ///< to -60 dB, at 500 Hz; above 2 kHz the air and soft walls take a third of it
  double direct_to_rest_db = 0;  ///< energy of the direct sound against all of the reflections
  double volume_m3 = 60;
};

/// Impulse response at `rate_hz`, the direct sound first, with amplitude 1. Places of voice and microphone are drawn
/// from `seed`. Source: Allen & Berkley, "Image method for efficiently simulating small-room acoustics", 1979; images
/// are moved a little at random, or a box whistles (De Sena et al., "On the modeling of rectangular geometries in room
/// acoustic simulations", 2015).
std::vector<float> impulse_response(const RoomSound& room, int rate_hz, std::uint64_t seed);

/// The samples as heard through the response, cut to their own length.
std::vector<float> convolved(const std::vector<float>& samples, const std::vector<float>& response);

}  // namespace firmus::truth
