// Stage `pitch`: a first f0 track through the candidates of `evidence`.
//
// It decides, for each frame, whether the frame is voiced and which of its candidates is the pitch there, by the path
// of least cost through all frames (Viterbi), as in probabilistic YIN (M. Mauch & S. Dixon, ICASSP 2014) with costs of
// our own. A frame costs more the lower its NSDF peak is; an unvoiced frame has a fixed cost, which falls where the
// level is near the noise floor; a change of pitch costs by its size in octaves up to a limit, and a change between
// voiced and unvoiced a fixed amount. It knows no melody and no notes, so whole notes may be on a wrong octave.
//
// The decision is not final. The rivals of the chosen candidate, the other candidates of the frame, stay in `Evidence`;
// `decode` counts those above the track as further evidence, and moves a note to them where the melody says that the
// track is an octave off. f0 is as exact as a candidate's peak; `measure` refines it.
#pragma once
#include <cstddef>
#include <vector>

#include "evidence/evidence.hpp"

namespace firmus {

/// One element a frame; both 0 where the frame is unvoiced.
struct CoarseF0Track {
  std::vector<float> f0_hz;
  std::vector<float> nsdf_peak;  ///< of the chosen candidate

  bool voiced(std::size_t frame) const { return f0_hz[frame] > 0; }
};

/// Time grows with the number of frames, memory by eight bytes a frame besides the result.
CoarseF0Track viterbi_f0_track(const Evidence& evidence);

}  // namespace firmus
