// Notes that the f0 track has on a wrong octave, or on another multiple of their period.
#pragma once
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

struct OctaveCorrected {
  std::vector<DecodedNote> notes;
  std::vector<float> f0_hz;  ///< the f0 track with the pitch of the notes that moved
};

/// A note 4 semitones or more from its written pitch in the decoded key moves to the candidates within 4 semitones of
/// that pitch, where most of its frames have one and their NSDF peaks are nearly as high as those of the track.
OctaveCorrected correct_octave_errors(const Observations& observed, const Melody& melody,
                                      std::vector<DecodedNote> notes);

}  // namespace firmus::decode
