// Stage `decode`: score alignment. It decides which sung note is which written note: boundaries, key, tempo, omitted,
// extra and repeated notes jointly, in a coarse and then a fine search, and the rest of each note in one step from the
// best path.
//
// 1. Boundaries, where a note may begin: peaks of the onset log odds, steps between stable pitches, starts of voicing.
//
// 2. Search (token passing in a hidden semi-Markov model). Hidden are the state (written note, extra note, rest),
//    the position in the melody, the key (a random walk in cents) and the tempo (a random walk too). A note's score is
//    the log-likelihood of the f0 between its boundaries given its pitch in the key, plus the log odds of an onset,
//    less the costs of its duration and of the transition (costs.hpp, transitions.hpp). The coarse search, with few
//    boundaries and wide steps of key and tempo, finds their range; the fine one, with all boundaries, searches there.
//    Written notes of one pitch in a row may be one sound (joined_cost.hpp); they are parted by the beat afterwards
//    (joined_notes.hpp). Where the result is not sure, all is done once more for notes as short as 80 ms.
//
// 3. From path to notes, without changing the alignment. Onset and end: the median of the posterior over time that the
//    log odds give. Pitch: the median of the f0 track. Notes that the track has on a wrong octave move to the
//    candidates where they sound, by their harmonics (octave_errors.hpp). Speech before and between attempts is
//    dropped. The recording is split into attempts, one of which is selected. The share of intervals sung as written
//    says whether it is this melody at all.
//
// "Key" here is the offset from written to sounding pitch, also where it is no whole number of semitones. The pitch is
// coarse: `measure` refines it within the chosen candidate, and the decision is not revised after it.
#pragma once
#include <cstddef>
#include <optional>
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
  double match_confidence = 0;         ///< that it is this written note, 0 to 1; 0 for an extra
  int attempt = 0;                     ///< index into Decoded::attempts
  bool joined = false;                 ///< the note before, of the same pitch, sounds on, and no onset shows
  bool octave_unsure = false;          ///< in a large room, a harmonic of the pitch in the key, or the reverse
};

struct Decoded {
  std::vector<DecodedNote> notes;   ///< by onset
  std::vector<NoteStatus> written;  ///< of each written note in the selected attempt: never extra or restart
  std::vector<Attempt> attempts;    ///< by time; empty without a melody or where no note of it was found
  std::vector<float> f0_hz;         ///< one per frame: the f0 track with octaves corrected; 0 where unvoiced
  std::optional<double> quarters_per_minute;
  AlignmentDecision decision = AlignmentDecision::sure;
  double confidence = 0;     ///< that it is this melody, 0 to 1
  double matched_share = 0;  ///< of the written notes that may not be left out, found in the selected attempt
  bool lacks_end = false;    ///< the recording is cut off within a note, and the last written note is missing
};

/// What the earlier stages found in one recording; each has one element per frame.
struct Observations {
  const Evidence& evidence;
  const CoarseF0Track& f0_track;
  const OnsetEvidence& onsets;
  const Samples* samples = nullptr;  ///< for what only few notes are asked about; without them it is left out
  /// What is left of late reverberation makes two notes look like one lower one: the octave of a note is then that of
  /// the key, or unsure.
  bool in_large_room = false;

  std::size_t frames() const { return evidence.frames(); }
  /// One past the last frame in which a note may sound: 1 s after the last pitch, or the end of the recording. So the
  /// silence behind the last note, however long, has no part in its length.
  std::size_t end_of_notes() const;
  /// A frame has a pitch and is less than 30 dB under the loud notes.
  bool sounds_at(std::size_t frame) const;
  /// Pitched sound runs into the end of the recording (into its first frame): it was cut off there.
  bool ends_in_sound() const;
  bool begins_in_sound() const;
};

/// Finds the melody's notes. A melody that was not sung is an ordinary result, with the decision `not_this_melody`.
Decoded decode_melody(const Observations& observed, const Melody& melody);

/// Finds notes without a melody: scored by pitch, onset and duration alone, without key, tempo or position. Every note
/// is `extra`; only `notes` and `f0_hz` are filled.
Decoded decode_any_notes(const Observations& observed);

}  // namespace firmus
