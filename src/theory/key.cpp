#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/ascii.hpp"
#include "chain.hpp"
#include "firmus/theory.hpp"
#include "words.hpp"

namespace firmus {
std::optional<Key> parse_key(std::string_view text) {
  text = theory::trimmed(text);
  if (text.empty()) return std::nullopt;
  Key key;
  key.letter = text[0] >= 'a' && text[0] <= 'g' ? static_cast<char>(text[0] - 'a' + 'A') : text[0];
  if (key.letter < 'A' || key.letter > 'G') return std::nullopt;
  text.remove_prefix(1);
  const theory::Accidental accidental = theory::read_accidental(text);
  key.alter = accidental.alter;
  text.remove_prefix(accidental.bytes);
  const std::string_view mode_text = theory::trimmed(text);
  if (key.alter < -1 || key.alter > 1) return std::nullopt;
  if (mode_text.empty()) return key;  // a note alone is its major
  if (mode_text == "m" || mode_text == "min") {
    key.mode = Mode::minor;
    return key;
  }
  if (mode_text.size() == text.size()) return std::nullopt;  // no white space between
  const std::optional<Mode> mode = enum_named<Mode>(lower_ascii(mode_text));
  if (!mode) return std::nullopt;
  key.mode = *mode;
  return key;
}

std::string key_name(const Key& key) {
  return fmt::format("{}{} {}", key.letter, theory::accidental_text(key.alter), to_string(key.mode));
}

std::optional<Key> key_of_signature(int fifths, Mode mode) {
  constexpr int most_fifths = 7;
  if (fifths < -most_fifths || fifths > most_fifths) return std::nullopt;
  constexpr std::string_view letters = "FCGDAEB";
  const int from_f = fifths + theory::fifths_above_major(mode) + 1;
  const int place = theory::modulo(from_f, 7), alter = (from_f - place) / 7;
  if (alter < -1 || alter > 1) return std::nullopt;
  return Key{letters[static_cast<std::size_t>(place)], alter, mode};
}

std::string scale_degree(const Key& key, const SpelledPitch& pitch) {
  const int degree = theory::modulo(theory::letter_index(pitch.letter) - theory::letter_index(key.letter), 7);
  const int above_tonic =
      theory::natural_semitones(pitch.letter) + pitch.alter - theory::natural_semitones(key.letter) - key.alter;
  const int off =
      theory::modulo(above_tonic - theory::scale_of(key.mode)[static_cast<std::size_t>(degree)] + 6, 12) - 6;
  const std::string_view twice = off > 1 || off < -1 ? "doubly " : "";
  const std::string_view word = off > 0 ? "raised " : off < 0 ? "lowered " : "";
  return fmt::format("{}{}{}", twice, word, degree + 1);
}

// The candidates are twelve neighbours on the line of fifths: the seven notes of the key and, in C, C# Eb F# G# Bb,
// which are also used without a key.
SpelledPitch nearest_pitch(Hertz frequency, Hertz a4, const std::optional<Key>& key) {
  const double midi = midi_from_hz(frequency, a4);
  const int sounding = midi < 12 ? 12 : midi > 131 ? 131 : static_cast<int>(std::lround(midi));
  const Key in = key.value_or(Key{});
  const int tonic = theory::fifths_of(in.letter, in.alter) - theory::fifths_above_major(in.mode);
  const int lowest = std::min(tonic - 3, theory::fifths_of('B', 2) - 11);  // nothing beyond B##
  const int fifths = lowest + theory::modulo(7 * sounding - lowest, 12);
  const theory::LetterAlter note = theory::note_at_fifths(fifths);
  SpelledPitch pitch{note.letter, note.alter, 0, 0};
  pitch.octave = (sounding - midi_key(pitch)) / 12;
  return pitch;
}

}  // namespace firmus
