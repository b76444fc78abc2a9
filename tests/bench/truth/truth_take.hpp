// A take whose truth is known exactly: what was played or sung, when, at which pitch, and as what firmus must name it.
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
  /// When it is heard to begin: the level first within 15 dB of the whole (instruments.hpp); voices: of the vowel.
  double onset_s = 0;
  double end_s = 0;
  double hz = 0;                         ///< the median of the exact f0 over the middle three fifths, vibrato taken off
  std::optional<int> written;            ///< none for an extra
  NoteStatus status = NoteStatus::sung;  ///< sung, restart or extra
};

/// One run through the melody. A try begins at the first note and where the singer goes back to the beginning.
struct TrueTry {
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
  std::vector<TrueTry> attempts;
};

/// The runs in the notes of one or more performances.
std::vector<TrueTry> tries_in(const std::vector<TrueNote>& notes, std::size_t written_notes);

/// Sings the plan. A stumble inside a try is named as firmus names it: the first time counts, what is sung again is the
/// restart; a try that is broken off and begun again at the beginning is the restart as a whole.
TruthTake sing_take(const std::string& melody_name, const Melody& melody, const singer::Plan& plan);

/// The second take behind the first, `pause_s` of its own room between: only the second counts.
TruthTake one_after_the_other(TruthTake first, const TruthTake& second);

/// Names of the melodies beside this program, in order.
std::vector<std::string> melody_names();
/// One of them, sounding so many semitones higher than written.
Melody melody_named(const std::string& name, int sounds_semitones = 0);

}  // namespace firmus::truth
