// The cheapest line through the pitch candidates of a take, which may be unvoiced.
#pragma once
#include "evidence/evidence.hpp"

namespace firmus {

/// Fills `f0_track_hz` and `clarity` from candidates, levels, floor_db and top_db by dynamic programming (Viterbi), as
/// in probabilistic YIN (Mauch & Dixon, ICASSP 2014) with costs of our own.
void viterbi_f0_track(Evidence& evidence);

}  // namespace firmus
