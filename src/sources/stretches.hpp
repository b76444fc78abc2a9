// Stretches of steady sound, and what tells a struck string from a voice in each.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "base/frames.hpp"
#include "evidence/evidence.hpp"
#include "onsets/onsets.hpp"
#include "pitch/pitch.hpp"

namespace firmus::sources {

/// Voiced frames [begin, end) without a leap of pitch, an attack or a likely onset within them.
struct Stretch {
  std::size_t begin = 0, end = 0;
  double hz = 0;  ///< median of the f0 track

  /// Of the part from the loudest frame of the attack until the sound is damped, by level.
  std::size_t loudest = 0, damped = 0;  ///< frames, [loudest, damped)
  double fall_db = 0;                   ///< from the first to the last level
};

/// In order of time. Shorter ones than a note can be are left out.
std::vector<Stretch> stretches_of(const Evidence& evidence, const CoarseF0Track& f0_track, const OnsetEvidence& onsets);

}  // namespace firmus::sources
