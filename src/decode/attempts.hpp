// Which run through the melody counts, and what the others are called.
#pragma once
#include "decode/decode.hpp"

namespace firmus::decode {

/// Takes back the names of runs that do not go as written (talk between tries that happens to fit here and there):
/// their notes are extras. Then takes out what sounds before the first written note: talk, a count-in, a tuning note.
/// None of it is the melody's.
void drop_speech(const Melody& melody, std::vector<DecodedNote>& notes);

/// Splits the decoded notes (by time, each with its written index) into tries, names the notes of those that do not
/// count `restart`, and fills `tries`, `written` and `matched_share`. A try begins where the singer goes back to the
/// melody's beginning; a smaller step back is a stumble inside a try, and what was sung before it again is `restart`
/// too.
void sort_out_tries(const Melody& melody, Decoded& decoded);

}  // namespace firmus::decode
