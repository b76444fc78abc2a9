// Pitch of a stretch from the phase of its strongest harmonic: fine enough to tell a string from a voice.
#pragma once
#include <cstddef>

#include "firmus/audio.hpp"

namespace firmus::sources {

struct SteadyPitch {
  double hz = 0;
  double spread_cents = 0;      ///< standard deviation about its line
  double tilt_cents_per_s = 0;  ///< slope of that line
};

/// Of frames [begin, end) about `hz`, which is off by 40 cents at most. One value in 10 ms.
SteadyPitch steady_pitch(const Samples& samples, std::size_t begin, std::size_t end, double hz);

}  // namespace firmus::sources
