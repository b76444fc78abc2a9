// Notes that the f0 track has on a wrong octave, or on another multiple of their period.
#pragma once
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

struct OctaveCorrected {
  std::vector<DecodedNote> notes;
  std::vector<float> f0_hz;  ///< the f0 track with the pitch of the notes that moved
};

/// Decides for each written note which multiple of its period sounds, by all of its frames. A sound of period T repeats
/// itself as well after 2 T, so the height of the NSDF peak at T against that at 2 T tells the power of the odd
/// harmonics of 2 T: where there is next to none, T is the period. Where there is some, the note nearest to the written
/// pitch in the decoded key is taken, unless the first harmonic of the lower one sounds, which a period that two sounds
/// have in common (a note, and the reverberation of the one before) has not. In a take that has such first harmonics
/// below many notes they are of an accompaniment, and its octave is that of the key. In a large room a note takes the
/// octave of the key wherever a candidate lies there; a note a harmonic apart from the key that has none is marked
/// `octave_unsure`.
OctaveCorrected correct_octave_errors(const Observations& observed, const Melody& melody,
                                      std::vector<DecodedNote> notes);

}  // namespace firmus::decode
