// Evidence x melody -> which sung note is which: boundaries, octave, transposition, tries and confidence, decided at
// once.
#pragma once
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "firmus/evidence.hpp"
#include "firmus/melody.hpp"

namespace firmus {

enum class NoteStatus { sung, missing, extra, restart, optional_left_out };
std::string_view to_string(NoteStatus status);

enum class AlignmentDecision { sure, listen, not_this_melody };
std::string_view to_string(AlignmentDecision decision);  ///< "sure" "listen" "not this melody"

/// A note that sounds in the take.
struct DecodedNote {
  NoteStatus status = NoteStatus::sung;  ///< sung, extra or restart
  std::optional<int> written;  ///< index of the written note; for a restart, the one it repeats; none for an extra
  double onset_s = 0, end_s = 0;
  double coarse_hz = 0;                ///< median of the chosen candidates over the middle
  double transposition_semitones = 0;  ///< key offset the decoder was in here, sung minus written (fractional)
  double match_confidence = 0;         ///< 0 to 1
  int attempt = 0;                     ///< which try it belongs to, index into `tries`
};

/// One run through the melody: a singer who stops and starts again has several.
struct Attempt {
  double from_s = 0, to_s = 0;
  int written_from = 0, written_to = 0;  ///< first and last written note reached, by index
  int sung = 0, missing = 0, extra = 0;
  bool counts = false;  ///< the one that is judged
};

struct Decoded {
  std::vector<DecodedNote> notes;  ///< by onset
  std::vector<NoteStatus>
      written;  ///< one for each written note: sung, missing or optional_left_out (of the try that counts)
  std::vector<Attempt> tries;  ///< empty without a melody
  std::vector<float> f0_hz;    ///< per evidence frame: the chosen candidate, 0 where unvoiced
  std::optional<double> quarters_per_minute;
  AlignmentDecision decision = AlignmentDecision::sure;
  double confidence = 0;     ///< 0 to 1
  double matched_share = 0;  ///< written notes found, 0 to 1
};

/// Where pitch is searched for a melody: its range, an octave and a bit wider on both sides.
PitchRange range_for(const Melody& melody);

/// Finds the melody's notes in the evidence.
Decoded decode_melody(const Evidence& evidence, const Melody& melody);

/// The same decoder with "any notes" as its target: no written notes, every note is `extra`.
Decoded decode_any_notes(const Evidence& evidence);

}  // namespace firmus
