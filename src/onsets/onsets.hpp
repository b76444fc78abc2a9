// Stage `onsets`: for each frame, the log odds that a note starts there and that a note ends there.
//
// A small neural net (one hidden layer, onset_net.hpp) judges each frame by the features of eleven frames from 120 ms
// before to 120 ms after it: mel band levels, levels of the first harmonics of the f0 track, level, voicing, NSDF peaks
// and the pitch relative to the pitch that follows. Its weights were fitted on annotated recordings (src/fit). It does
// not decide where notes start: `decode` does, with these log odds as one of its costs.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "evidence/evidence.hpp"
#include "firmus/audio.hpp"
#include "pitch/pitch.hpp"

namespace firmus {

/// One element a frame: natural log of the odds.
struct OnsetEvidence {
  std::vector<float> onset_logit;
  std::vector<float> offset_logit;
};

/// The fitted weights.
class OnsetNet;
/// Those that are built into the program.
std::shared_ptr<const OnsetNet> default_onset_net();
/// Reads weights that firmus-fit wrote. Throws InputError.
std::shared_ptr<const OnsetNet> read_onset_net(const std::string& path);

/// Features are made block by block and dropped again, so memory grows by the result alone. The result does not depend
/// on the number of threads.
OnsetEvidence detect_onsets(const Samples& samples, const Evidence& evidence, const CoarseF0Track& f0_track,
                            const OnsetNet& net, int threads = 1);

}  // namespace firmus
