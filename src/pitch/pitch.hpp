// Stage `pitch`: a first f0 track through the candidates of `evidence`.
//
// It decides, for each frame, whether the frame is voiced and which of its candidates is the pitch there, by the path
// of least cost through all frames (Viterbi), as in probabilistic YIN (M. Mauch & S. Dixon, ICASSP 2014) with costs of
// our own. A voiced frame costs more the lower the NSDF peak of its candidate is; an unvoiced frame has a constant
// cost, reduced where the level is near the noise floor; a change of pitch costs by its size in octaves up to a limit,
// and a change between voiced and unvoiced a fixed amount. It knows no melody and no notes, so whole notes may be on a
// wrong octave.
//
// The decision is not final. The candidates that were not chosen stay in `Evidence`: `decode` also scores those higher
// in frequency, and moves a note to another candidate where the melody says that the track is an octave off. f0 has the
// resolution of the interpolated NSDF peak; `measure` refines it.
#pragma once
#include <cstddef>
#include <vector>

#include "evidence/evidence.hpp"

namespace firmus {

/// One element per frame; both 0 where the frame is unvoiced.
struct CoarseF0Track {
  std::vector<float> f0_hz;
  std::vector<float> nsdf_peak;  ///< of the chosen candidate, 0 to 1

  bool voiced(std::size_t frame) const { return f0_hz[frame] > 0; }
};

/// Time is linear in the number of frames; working memory is eight bytes per frame (back pointers).
CoarseF0Track viterbi_f0_track(const Evidence& evidence);

}  // namespace firmus
