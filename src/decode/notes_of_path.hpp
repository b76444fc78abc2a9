// From decoded starts to notes with ends, pitches and the octave that was meant.
#pragma once
#include <span>

#include "decode/decode.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// Notes of a path: onset at the median of the evidence about the boundary, end the same about the strongest offset
/// evidence before the next start, pitch the median of the line over the middle 60 %. `status`, `attempt` and
/// confidence are left for later.
std::vector<DecodedNote> notes_of_path(const Observations& observed, std::span<const Boundary> boundaries,
                                       const Path& path);

/// Looks again at notes 4 semitones or more from their written pitch in their key: where candidates nearly as strong
/// lie within 4 semitones of it, the line there was an octave (or another multiple) off, and the note moves to them.
/// Changes `f0_hz` too.
void correct_octave_errors(const Observations& observed, const Melody& melody, std::vector<DecodedNote>& notes,
                           std::vector<float>& f0_hz);

}  // namespace firmus::decode
