// Stage `decode`: which sung note is which written note. It decides boundaries, key, tempo, left-out, extra and
// repeated notes in one search, and everything else of a note in one step from the best path.
//
// 1. Boundaries. A note may begin only at peaks of the onset log odds, at steps between stable pitches, and at starts
// of
//    voicing.
// 2. Search (token passing in a hidden semi-Markov model). Hidden are the state (a target note, an extra note, a wait),
//    the position in the melody, the key (a random walk in cents) and the tempo (a random walk too). A note's score is
//    the log-likelihood of the f0 between its boundaries given its pitch in the key, plus the log odds of an onset,
//    less the costs of its duration and of the transition (costs.hpp, transitions.hpp). A first search with few
//    boundaries and wide steps of key and tempo finds their range; a second one with all boundaries searches around it.
// 3. From path to notes, without changing the path: onset and end at the posterior median of their log odds; pitch as
// the
//    median of the f0 track; notes that the track has on a wrong octave move to the candidates near their written
//    pitch; speech before and between attempts is dropped; attempts are told apart and one counts; the share of
//    intervals sung as written says whether it is this melody at all.
//
// The pitch is coarse: `measure` refines it within the chosen candidate, and the decision is not revised after it.
#pragma once
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "evidence/evidence.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"
#include "onsets/onsets.hpp"
#include "pitch/pitch.hpp"

namespace firmus {

/// A note that sounds in the recording.
struct DecodedNote {
  NoteStatus status = NoteStatus::sung;  ///< sung, extra or restart
  std::optional<int> written;            ///< index of the written note; of a restart, of the one it repeats
  double onset_s = 0, end_s = 0;
  double coarse_hz = 0;                ///< median of Decoded::f0_hz over the middle of the note; 0 where unvoiced
  double transposition_semitones = 0;  ///< key of the path here: sung minus written pitch, with fractions
  double match_confidence = 0;         ///< 0 to 1; 0 of an extra
  int attempt = 0;                     ///< index into Decoded::attempts
};

struct Decoded {
  std::vector<DecodedNote> notes;   ///< by onset
  std::vector<NoteStatus> written;  ///< of each written note in the attempt that counts: sung, missing, left out
  std::vector<Attempt> attempts;    ///< by time; empty without a melody or where no note of it was found
  std::vector<float> f0_hz;         ///< one a frame: the f0 track with octaves corrected; 0 where unvoiced
  std::optional<double> quarters_per_minute;
  AlignmentDecision decision = AlignmentDecision::sure;
  double confidence = 0;     ///< that it is this melody, 0 to 1
  double matched_share = 0;  ///< written notes found in the attempt that counts, 0 to 1
};

/// What the stages before have found in one recording: one element a frame each.
struct Observations {
  const Evidence& evidence;
  const CoarseF0Track& f0_track;
  const OnsetEvidence& onsets;

  std::size_t frames() const { return evidence.frames(); }
};

/// Finds the melody's notes. A melody that was not sung is an ordinary result, with the decision `not_this_melody`.
Decoded decode_melody(const Observations& observed, const Melody& melody);

/// Finds notes without a melody: the same scores of pitch, onset and shortness, no key, tempo or position. Every note
/// is `extra`; only `notes` and `f0_hz` are filled.
Decoded decode_any_notes(const Observations& observed);

}  // namespace firmus
