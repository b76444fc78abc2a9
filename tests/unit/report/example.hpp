// A result made by hand: eight written notes in D major, one of each kind that the reports distinguish.
#pragma once
#include "firmus/result.hpp"

namespace firmus::example {

NoteResult sung_note(int index, double onset_s, double own_cents, Verdict verdict);
Result measured();
Since since();  ///< a comparison of `measured` with an earlier take
Result not_measured();

}  // namespace firmus::example
