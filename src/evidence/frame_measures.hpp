// Everything about a take's frames but the net's own verdict: shared by the evidence and by the program that fits the
// net.
#pragma once
#include <vector>

#include "firmus/evidence.hpp"
#include "onset_features.hpp"

namespace firmus {

/// Fills all of `evidence` but the logits, and returns the measures of each frame.
std::vector<FrameMeasures> gather_pitch_evidence(const Samples& samples, const PitchRange& range, Evidence& evidence);

}  // namespace firmus
