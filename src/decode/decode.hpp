// Evidence x melody -> which sung note is which: boundaries, octave, transposition, tries and confidence, decided at
// once.
#pragma once
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "evidence/evidence.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"
#include "onsets/onsets.hpp"
#include "pitch/pitch.hpp"

namespace firmus {

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

struct Decoded {
  std::vector<DecodedNote> notes;  ///< by onset
  std::vector<NoteStatus>
      written;  ///< one for each written note: sung, missing or optional_left_out (of the try that counts)
  std::vector<Attempt> attempts;  ///< empty without a melody
  std::vector<float> f0_hz;       ///< per evidence frame: the chosen candidate, 0 where unvoiced
  std::optional<double> quarters_per_minute;
  AlignmentDecision decision = AlignmentDecision::sure;
  double confidence = 0;     ///< 0 to 1
  double matched_share = 0;  ///< written notes found, 0 to 1
};

/// What the stages before have found in one recording: one element a frame each.
struct Observations {
  const Evidence& evidence;
  const CoarseF0Track& f0_track;
  const OnsetEvidence& onsets;

  std::size_t frames() const { return evidence.frames(); }
};

/// Finds the melody's notes in the evidence.
Decoded decode_melody(const Observations& observed, const Melody& melody);

/// The same decoder with "any notes" as its target: no written notes, every note is `extra`.
Decoded decode_any_notes(const Observations& observed);

}  // namespace firmus
