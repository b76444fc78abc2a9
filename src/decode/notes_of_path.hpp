// The one step from the best path to the result: pure functions, each from values to values.
#pragma once
#include <span>
#include <vector>

#include "decode/decode.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// With a melody: times and pitches of the path's notes (timed_notes), octaves corrected (correct_octave_errors),
/// sounds that fit nowhere made extras (strays_to_extras), speech dropped (drop_speech), attempts told apart
/// (assign_attempts), tempo, and whether it is this melody (assess_alignment).
Decoded notes_of_path(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
                      const Melody& melody);

/// Without a melody: times and pitches alone.
Decoded notes_of_path(const Observations& observed, std::span<const Boundary> boundaries, const Path& path);

}  // namespace firmus::decode
