// Attempts at the melody within one recording: which of them counts, and what their notes are called.
#pragma once
#include <vector>

#include "decode/decode.hpp"

namespace firmus::decode {

/// Notes of attempts in which few intervals are matched (speech between attempts that fits here and there) become
/// extras. Notes before the first written one are removed: speech, a count-in, a tuning note.
std::vector<DecodedNote> drop_speech(const Melody& melody, std::vector<DecodedNote> notes);

struct AssignedAttempts {
  std::vector<DecodedNote> notes;   ///< with their attempt; `restart` where they do not count
  std::vector<Attempt> attempts;    ///< by time; one counts
  std::vector<NoteStatus> written;  ///< of each written note in the attempt that counts
  double matched_share = 0;         ///< of the written notes that may not be left out, found in it, 0 to 1
};

/// An attempt begins where the singer goes back to the melody's beginning. After a smaller step back, within an
/// attempt, the notes that are sung again count if the melody goes on from them, and the earlier ones are `restart`.
/// Where it does not go on, or where fewer than five notes are sung again after a whole bar, it is the other way round.
/// The last attempt that has 80 % of the written notes counts, else the last one.
AssignedAttempts assign_attempts(const Melody& melody, std::vector<DecodedNote> notes);

}  // namespace firmus::decode
