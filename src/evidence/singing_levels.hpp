// The levels from which the noise floor and the loudness of a take are measured.
#pragma once
#include <vector>

#include "evidence/evidence.hpp"

namespace firmus::evidence {

/// Levels of the frames from the first sound with a clear pitch to the last one, and 0.3 s on either side: what lies
/// before and behind the singing, however long, changes neither floor nor top. Digital silence is left out: it is not
/// the noise of the room. Where no frame has a clear pitch, all levels.
std::vector<float> levels_of_singing(const Evidence& evidence);

}  // namespace firmus::evidence
