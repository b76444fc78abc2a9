// A take whose truth is known exactly: what was played or sung, when, at which pitch, and the status that firmus must
// give it.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "decode/decode.hpp"
#include "firmus/melody.hpp"
#include "singer.hpp"

namespace firmus::truth {

struct TrueNote {
  /// Perceived onset: where the level is first within 15 dB of the whole (instruments.hpp); voices: of the vowel.
  double onset_s = 0;
  double end_s = 0;
  double hz = 0;                         ///< the median of the exact f0 over the middle three fifths, without vibrato
  std::optional<int> written;            ///< none for an extra
  NoteStatus status = NoteStatus::sung;  ///< sung, restart or extra
};

/// One attempt at the melody. It begins at the first note, or where the singer goes back to the beginning.
struct TrueAttempt {
  double from_s = 0, to_s = 0;
  int written_from = 0, written_to = 0;
};

struct TruthTake {
  std::string id;
  std::string melody_name;
  Melody melody;
  int rate_hz = singer::rate_hz;
  std::vector<float> samples;   ///< mono
  std::vector<TrueNote> notes;  ///< by onset
  std::vector<TrueAttempt> attempts;
  std::vector<int> held_over;  ///< written notes not sung: the note before, of the same pitch, was held through
};

/// The attempts in the notes of one or more performances.
std::vector<TrueAttempt> attempts_in(const std::vector<TrueNote>& notes, std::size_t written_notes);

/// Sings the plan. Notes have the status that firmus gives them: of a passage that is sung again the last time counts,
/// and the notes before it are restarts; an attempt that is broken off and begun again at the beginning is a restart as
/// a whole.
TruthTake sing_take(const std::string& melody_name, const Melody& melody, const singer::Plan& plan);

/// The second take after the first, with a pause of room noise between them; only the second counts.
TruthTake one_after_the_other(TruthTake first, const TruthTake& second);

/// Names of the melodies in tests/bench/truth/melodies, in order.
std::vector<std::string> melody_names();
/// One of them, sounding `sounds_semitones` higher than written.
Melody melody_named(const std::string& name, int sounds_semitones = 0);

}  // namespace firmus::truth
