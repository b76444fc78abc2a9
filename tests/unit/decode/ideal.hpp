// Ideal evidence, as of a perfect sound, so that decoding is tested without signal processing.
#pragma once
#include <string>
#include <vector>

#include "decode/decode.hpp"

namespace firmus::test {

struct Sounding {
  double onset_s, end_s, hz;
};

/// The results of the stages before decoding, in one object.
struct Ideal {
  Evidence evidence;
  CoarseF0Track f0_track;
  OnsetEvidence onsets;
  operator Observations() const { return {evidence, f0_track, onsets}; }
};

/// Voiced at the notes' pitches, onset and offset log odds of +6 at their boundaries and -8 elsewhere.
Ideal ideal_evidence(const std::vector<Sounding>& notes, double duration_s);

/// The melody's notes sung in time, `quarter_s` a quarter note, transposed.
std::vector<Sounding> sing_exactly(const Melody& melody, double begin_s, double quarter_s, double semitones = 0);

/// Sixteen notes in two phrases without rests.
Melody two_phrases();

/// The written index of each decoded note by time, "x" for an extra, "r3" for a restart of note 3.
std::string order_of(const Decoded& decoded);

}  // namespace firmus::test
