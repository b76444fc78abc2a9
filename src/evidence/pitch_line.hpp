// The cheapest line through the pitch candidates of a take, which may be unvoiced.
#pragma once
#include "firmus/evidence.hpp"

namespace firmus {

/// Fills `line_hz` and `clarity` from candidates, levels, floor_db and top_db by dynamic programming (Viterbi), as in
/// probabilistic YIN (Mauch & Dixon, ICASSP 2014) with costs of our own.
void draw_pitch_line(Evidence& evidence);

}  // namespace firmus
