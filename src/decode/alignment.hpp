// Is it this melody? Judged by intervals from note to note that are sung as written.
#pragma once
#include <optional>
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

/// For each note but the last, 1 where the interval to the next is matched: both are written notes, one written right
/// after the other, their pitches are within 0.7 semitone of the written interval, and the time between their onsets is
/// within 35 % (in its log) of the pace around them.
std::vector<char> matched_intervals(const Melody& melody, const std::vector<DecodedNote>& notes);

/// For each note, 1 where the time from the written note just before it or to the one just after is between half and
/// twice that of the pace around.
std::vector<char> nearly_in_rhythm(const Melody& melody, const std::vector<DecodedNote>& notes);

/// The median tempo from each written note to the next, so that a pause or a hurried bar does not count.
std::optional<double> quarters_per_minute(const Melody& melody, const std::vector<DecodedNote>& notes);

struct Alignment {
  AlignmentDecision decision = AlignmentDecision::sure;
  double confidence = 0;                 ///< 0 to 1
  std::vector<double> match_confidence;  ///< of each note, 0 to 1; 0 for an extra
};

/// `confidence` is the mean of two shares of matched intervals: among all from the first written note to the last, and
/// among the best half of them.
Alignment assess_alignment(const Melody& melody, const std::vector<DecodedNote>& notes);

}  // namespace firmus::decode
