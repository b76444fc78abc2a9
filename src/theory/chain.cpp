#include "chain.hpp"

namespace firmus::theory {

int letter_index(char letter) {
  return modulo(letter - 'C', 7);
}

int natural_semitones(char letter) {
  constexpr std::array<int, 7> semitones{0, 2, 4, 5, 7, 9, 11};
  return semitones[static_cast<std::size_t>(letter_index(letter))];
}

int fifths_of(char letter, int alter) {
  constexpr std::array<int, 7> fifths{0, 2, 4, -1, 1, 3, 5};
  return fifths[static_cast<std::size_t>(letter_index(letter))] + 7 * alter;
}

LetterAlter note_at_fifths(int fifths) {
  constexpr std::string_view letters = "FCGDAEB";
  const int place = fifths + 1;
  const int letter = modulo(place, 7);
  return {letters[static_cast<std::size_t>(letter)], (place - letter) / 7};
}

const std::array<int, 7>& scale_of(Mode mode) {
  static constexpr std::array<int, 7> ionian{0, 2, 4, 5, 7, 9, 11};
  static constexpr std::array<int, 7> dorian{0, 2, 3, 5, 7, 9, 10};
  static constexpr std::array<int, 7> phrygian{0, 1, 3, 5, 7, 8, 10};
  static constexpr std::array<int, 7> lydian{0, 2, 4, 6, 7, 9, 11};
  static constexpr std::array<int, 7> mixolydian{0, 2, 4, 5, 7, 9, 10};
  static constexpr std::array<int, 7> aeolian{0, 2, 3, 5, 7, 8, 10};
  static constexpr std::array<int, 7> locrian{0, 1, 3, 5, 6, 8, 10};
  switch (mode) {
    case Mode::major:
    case Mode::ionian:
      return ionian;
    case Mode::dorian:
      return dorian;
    case Mode::phrygian:
      return phrygian;
    case Mode::lydian:
      return lydian;
    case Mode::mixolydian:
      return mixolydian;
    case Mode::minor:
    case Mode::aeolian:
      return aeolian;
    case Mode::locrian:
      return locrian;
  }
  return ionian;
}

int fifths_above_major(Mode mode) {
  switch (mode) {
    case Mode::major:
    case Mode::ionian:
      return 0;
    case Mode::dorian:
      return 2;
    case Mode::phrygian:
      return 4;
    case Mode::lydian:
      return -1;
    case Mode::mixolydian:
      return 1;
    case Mode::minor:
    case Mode::aeolian:
      return 3;
    case Mode::locrian:
      return 5;
  }
  return 0;
}

Accidental read_accidental(std::string_view text) {
  struct Sign {
    std::string_view text;
    int alter;
  };
  // Longest first. U+266F sharp, U+266D flat, U+266E natural, U+1D12A double sharp, U+1D12B double flat.
  static constexpr std::array<Sign, 12> signs{{{"\xE2\x99\xAF\xE2\x99\xAF", 2},
                                               {"\xE2\x99\xAD\xE2\x99\xAD", -2},
                                               {"\xF0\x9D\x84\xAA", 2},
                                               {"\xF0\x9D\x84\xAB", -2},
                                               {"\xE2\x99\xAF", 1},
                                               {"\xE2\x99\xAD", -1},
                                               {"\xE2\x99\xAE", 0},
                                               {"##", 2},
                                               {"bb", -2},
                                               {"#", 1},
                                               {"b", -1},
                                               {"x", 2}}};
  for (const Sign& sign : signs)
    if (text.starts_with(sign.text)) return {sign.alter, sign.text.size()};
  return {};
}

std::string_view accidental_text(int alter) {
  switch (alter) {
    case -2:
      return "bb";
    case -1:
      return "b";
    case 1:
      return "#";
    case 2:
      return "##";
    default:
      return "";
  }
}

}  // namespace firmus::theory
