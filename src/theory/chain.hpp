// The line of fifths: ... Eb Bb F C G D A E B F# ..., C at 0. Spelling, tunings and key signatures follow from it.
#pragma once
#include "firmus/theory.hpp"

namespace firmus::theory {

/// Index of a letter among C D E F G A B, 0 to 6; meaningful for 'A' to 'G' only.
int letter_index(char letter);
/// Semitones of the natural letter above C.
int natural_semitones(char letter);
/// Position on the line of fifths: F -1, C 0, G 1, ... B 5, F# 6; Bb -2.
int fifths_of(char letter, int alter);

struct LetterAlter {
  char letter = 'C';
  int alter = 0;
};
/// The note at a position on the line of fifths.
LetterAlter note_at_fifths(int fifths);

/// Remainder in 0 to modulus - 1, also of negative numbers.
constexpr int modulo(int value, int modulus) {
  return (value % modulus + modulus) % modulus;
}

/// Semitones of the mode's seven degrees above its tonic.
const std::array<int, 7>& scale_of(Mode mode);
/// Fifths from the tonic of the major key with the same signature up to the mode's tonic (minor: C to A, 3).
int fifths_above_major(Mode mode);

/// Accidental at the front of `text`, either ASCII or Unicode; `bytes` 0 when there is none.
struct Accidental {
  int alter = 0;
  std::size_t bytes = 0;
};
Accidental read_accidental(std::string_view text);

std::string_view accidental_text(int alter);  ///< "bb" "b" "" "#" "##"

}  // namespace firmus::theory
