// Is it this melody? Judged by steps from note to note that go as written.
#pragma once
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

/// For each note but the last, whether the step to the next is good.
std::vector<char> matched_intervals(const Melody& melody, const std::vector<DecodedNote>& notes);

/// Fills `decision`, `confidence` and each note's `match_confidence` from the share of good steps: both notes matched,
/// one written after the other, no extra between, the interval within 0.7 semitone, the rhythm near the pace around it.
void assess_alignment(const Melody& melody, Decoded& decoded);

}  // namespace firmus::decode
