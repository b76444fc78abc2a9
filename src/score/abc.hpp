// ABC notation (The ABC Music standard 2.1, December 2011).
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "score.hpp"

namespace firmus::score {

/// The tune with this number (X:), or the only one; its parts are its voices.
Score read_abc(std::string_view bytes, const std::string& file, const std::optional<std::string>& tune);

/// Whether the text has the fields that every tune has: a line that begins with X: and, after it, one with K:.
bool looks_like_abc(std::string_view text);

/// A line of a tune, without its comment: an information field (`kind` is its letter, '+' for a continuation), or music
/// (`kind` 0).
struct AbcLine {
  char kind = 0;
  std::string text;
};
struct AbcTune {
  std::string number, title;
  std::vector<AbcLine> header;  ///< of the file and of the tune, up to K:, which is the last
  std::vector<AbcLine> body;
};
std::vector<AbcTune> abc_tunes(std::string_view text);

/// Semitones up in hundredths for each letter from A to G.
struct AbcKey {
  std::optional<Key> key;
  std::vector<int> accidental_cents = std::vector<int>(7, 0);
};
/// What a K: or V: field says beside the key.
struct AbcClef {
  int sounds_semitones = 0;  ///< of a clef with 8, or transpose=
  int octaves = 0;           ///< octave=
  bool percussion = false;
};
/// None where the field says nothing of the key (only a clef).
std::optional<AbcKey> parse_abc_key(std::string_view text);
/// What is not said stays as it is in `before`.
AbcClef parse_abc_clef(std::string_view text, const AbcClef& before);
/// "6/8", "C", "C|", "(2+3)/8"; none for "none" and for what is no meter.
std::optional<Meter> parse_abc_meter(std::string_view text);
/// Quarters a minute of "1/4=120", `"Andante" 3/8=60`, and "120" of the unit note.
std::optional<double> parse_abc_tempo(std::string_view text, const Fraction& unit_note);
/// "3/2", "/", "//", "2" in front of `text`, which loses it; 1 where there is none.
Fraction take_abc_length(std::string_view& text);

/// The value of name= in a field, without quotes; empty where there is none.
std::string abc_property(std::string_view text, std::string_view name);

/// A syllable of a w: line: `text` empty for a note without; `next_bar`: go to the next bar instead.
struct AbcSyllable {
  std::string text;
  bool next_bar = false;
};
std::vector<AbcSyllable> abc_syllables(std::string_view line);

/// The order of the parts of a P: field in the header: "A(AB)3" is AABABAB. At most 1000 letters.
std::string abc_part_order(std::string_view text);

}  // namespace firmus::score
