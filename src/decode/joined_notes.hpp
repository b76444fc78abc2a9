// Written notes of one pitch that the search found as one sound: where each of them begins.
#pragma once
#include <span>
#include <vector>

#include "lattice.hpp"

namespace firmus::decode {

struct SplitPath {
  std::vector<Boundary> boundaries;  ///< those of the path, and the new ones
  Path path;                         ///< each note is one written note
};

/// Places the written notes within each sound of several by the beat: at their share of the time to the next onset, or
/// of the sound where none follows at once. Within a quarter of a note about it, the note begins where an onset shows:
/// at a dip of the level, or else at the most likely frame by the log odds. Where neither shows, it is `joined`.
SplitPath split_joined_notes(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
                             std::span<const TargetNote> targets);

}  // namespace firmus::decode
