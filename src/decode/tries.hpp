// Which run through the melody counts, and what the others are called.
#pragma once
#include "firmus/decode.hpp"

namespace firmus {

/// Takes out the notes before the first that is written: talk, a count-in, a tuning note. None of them is the melody's.
void drop_what_comes_before(std::vector<DecodedNote>& notes);

/// Splits the decoded notes (by time, each with its written index) into tries, names the notes of those that do not
/// count `restart`, and fills `tries`, `written` and `matched_share`. A try begins where the singer goes back to the
/// melody's beginning; a smaller step back is a stumble inside a try, and what was sung before it again is `restart`
/// too.
void sort_out_tries(const Melody& melody, Decoded& decoded);

}  // namespace firmus
