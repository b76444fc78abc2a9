// Onset, end and pitch of each note of a path.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "decode/decode.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// Notes of a path: onset at the posterior median about the chosen boundary, end at that about the strongest evidence
/// of an end before the next onset, `coarse_hz` by pitch_of_note. Their status is `sung` or `extra`.
std::vector<DecodedNote> timed_notes(const Observations& observed, std::span<const Boundary> boundaries,
                                     const Path& path);

/// Median f0 over the middle 60 % of frames [begin, end), or of all of them where that is unvoiced; 0 where all are.
double pitch_of_note(std::span<const float> f0_hz, std::size_t begin, std::size_t end);

}  // namespace firmus::decode
