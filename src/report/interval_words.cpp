#include "interval_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdlib>

#include "report/words.hpp"

namespace firmus::report {
namespace {

std::string ordinal_of(int number) {
  constexpr std::array names{"unison",   "second",  "third",      "fourth",     "fifth",
                             "sixth",    "seventh", "octave",     "ninth",      "tenth",
                             "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth"};
  if (number >= 1 && number <= static_cast<int>(names.size())) return names[static_cast<std::size_t>(number - 1)];
  const bool teen = number % 100 / 10 == 1;
  const char* ending = teen ? "th" : number % 10 == 1 ? "st" : number % 10 == 2 ? "nd" : number % 10 == 3 ? "rd" : "th";
  return fmt::format("{}{}", number, ending);
}

/// "M" -> "major ", "P" -> "perfect ", "AA" -> "doubly augmented "; none for other letters.
std::optional<std::string> quality_in_words(std::string_view letters) {
  if (letters == "P") return "perfect ";
  if (letters == "M") return "major ";
  if (letters == "m") return "minor ";
  if (letters == "A") return "augmented ";
  if (letters == "d") return "diminished ";
  if (letters == "AA") return "doubly augmented ";
  if (letters == "dd") return "doubly diminished ";
  return std::nullopt;
}

std::string octaves_in_words(int octaves) {
  return std::abs(octaves) == 1 ? "an octave" : fmt::format("{} octaves", std::abs(octaves));
}

/// A transposition as octaves and the rest: to the nearest octave, ties towards 0, as errors at concert pitch are.
struct ShortShift {
  int octaves = 0, semitones = 0;  ///< the rest from -6 to 6
};
ShortShift short_shift(int semitones) {
  const int size = std::abs(semitones);
  const int octaves = (size % 12 > 6 ? 1 : 0) + size / 12;
  const int sign = semitones < 0 ? -1 : 1;
  return {sign * octaves, semitones - sign * 12 * octaves};
}

/// The usual name of 0 to 11 semitones in equal temperament (common practice); empty for 0.
std::string distance_in_words(int semitones) {
  constexpr std::array names{
      "",          "a semitone", "a tone",        "a minor third", "a major third",   "a fourth",
      "a tritone", "a fifth",    "a minor sixth", "a major sixth", "a minor seventh", "a major seventh"};
  return names[static_cast<std::size_t>(semitones)];
}

}  // namespace

std::string interval_in_words(std::string_view name, const std::optional<Direction>& direction) {
  if (name == "P1") return "repeated note";
  const std::size_t digits = std::min(name.find_first_of("0123456789"), name.size());
  int number = 0;
  const auto [end, error] = std::from_chars(name.data() + digits, name.data() + name.size(), number);
  const auto quality = quality_in_words(name.substr(0, digits));
  if (!quality || error != std::errc() || end != name.data() + name.size()) return std::string(name);
  const bool plain = *quality == "perfect ";
  const char* way = direction == Direction::up ? "rising " : direction == Direction::down ? "falling " : "";
  return way + (plain ? "" : *quality) + ordinal_of(number);
}

std::string shift_in_words(int semitones) {
  if (semitones == 0) return "as written";
  const ShortShift shift = short_shift(semitones);
  std::string words;
  if (shift.semitones != 0)
    words = distance_in_words(std::abs(shift.semitones)) + (shift.semitones < 0 ? " lower" : " higher");
  if (shift.octaves == 0) return words;
  return words + (words.empty() ? "" : ", ") + octaves_in_words(shift.octaves) + (shift.octaves < 0 ? " down" : " up");
}

std::string moved_in_words(int semitones) {
  const ShortShift shift = short_shift(semitones);
  std::string words;
  if (shift.semitones != 0)
    words = (shift.semitones < 0 ? "down " : "up ") + distance_in_words(std::abs(shift.semitones));
  if (shift.octaves == 0) return words;
  return words + (words.empty() ? "" : " and ") + (shift.octaves < 0 ? "down " : "up ") +
         octaves_in_words(shift.octaves);
}

std::string key_in_words(const Key& key) {
  const std::string name = key_name(key);
  const std::string mode = name.substr(name.find(' '));
  const char* accidentals[] = {" double flat", " flat", "", " sharp", " double sharp"};
  return key.letter + std::string(accidentals[std::clamp(key.alter, -2, 2) + 2]) + mode;
}

std::optional<std::string> other_octave_in_words(const NoteResult& note) {
  constexpr double within_cents = 100;
  const int octaves = whole_octaves(Cents(note.errors.own_cents.value_or(0)), Cents(within_cents));
  if (octaves == 0) return std::nullopt;
  return octaves_in_words(octaves) + (octaves < 0 ? " lower" : " higher");
}

Key moved_key(const Key& key, int semitones) {
  struct Spelling {
    char letter;
    int alter;
  };
  constexpr std::array<Spelling, 12> major{{{'C', 0},
                                            {'D', -1},
                                            {'D', 0},
                                            {'E', -1},
                                            {'E', 0},
                                            {'F', 0},
                                            {'F', 1},
                                            {'G', 0},
                                            {'A', -1},
                                            {'A', 0},
                                            {'B', -1},
                                            {'B', 0}}};
  constexpr std::array<Spelling, 12> minor{{{'C', 0},
                                            {'C', 1},
                                            {'D', 0},
                                            {'E', -1},
                                            {'E', 0},
                                            {'F', 0},
                                            {'F', 1},
                                            {'G', 0},
                                            {'G', 1},
                                            {'A', 0},
                                            {'B', -1},
                                            {'B', 0}}};
  const int shift = ((semitones % 12) + 12) % 12;
  if (shift == 0) return key;
  const int place = (midi_key(SpelledPitch{key.letter, key.alter, 4}) + shift) % 12;
  const bool is_minor = key.mode == Mode::minor || key.mode == Mode::aeolian || key.mode == Mode::dorian ||
                        key.mode == Mode::phrygian || key.mode == Mode::locrian;
  const Spelling spelling = (is_minor ? minor : major)[static_cast<std::size_t>(place)];
  return Key{spelling.letter, spelling.alter, key.mode};
}

}  // namespace firmus::report
