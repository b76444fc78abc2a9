// A synthetic Result, without any sound: notes with given errors, and an f0 track that follows them.
#pragma once
#include <vector>

#include "firmus/result.hpp"

namespace firmus::made {

struct MadeNote {
  const char* written = "A4";
  double own_cents = 0;
  double length_s = 0.5;
  const char* word = "";
  NoteStatus status = NoteStatus::sung;
  double silence_s = 0;  ///< after it
};

/// The notes one after another from 0.5 s on, in bars of four and phrases of eight, sung `transposition` semitones
/// higher with an offset of `centre_cents`; standard errors of 2 cents. The f0 track is constant at the sung pitch.
Result take_of(const std::vector<MadeNote>& notes, int transposition_semitones = 0, double centre_cents = 0);

/// `count` notes up and down a tenth with words of one to eight letters, every seventh one 30 to 40 cents off.
Result song_of(int count);

}  // namespace firmus::made
