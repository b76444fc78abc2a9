#include "spelling.hpp"

using namespace firmus;

namespace {

std::string between(std::string_view from, std::string_view to) {
  const Interval interval = interval_between(note(from), note(to));
  return interval_name(interval) + " " + std::string(to_string(interval.direction));
}

}  // namespace

TEST_CASE("intervals are named by their spelling and direction") {
  // Common practice.
  CHECK(between("D4", "D4") == "P1 same");
  CHECK(between("E4", "F4") == "m2 up");
  CHECK(between("F4", "E4") == "m2 down");
  CHECK(between("C4", "D4") == "M2 up");
  CHECK(between("C4", "Eb4") == "m3 up");
  CHECK(between("D4", "F#4") == "M3 up");
  CHECK(between("F#4", "D4") == "M3 down");
  CHECK(between("C4", "F4") == "P4 up");
  CHECK(between("F4", "B4") == "A4 up");
  CHECK(between("B3", "F4") == "d5 up");
  CHECK(between("F4", "B3") == "d5 down");
  CHECK(between("D4", "G3") == "P5 down");
  CHECK(between("E4", "C5") == "m6 up");
  CHECK(between("C4", "A4") == "M6 up");
  CHECK(between("C4", "Bb4") == "m7 up");
  CHECK(between("C4", "B4") == "M7 up");
  CHECK(between("C4", "C5") == "P8 up");
}

TEST_CASE("one sound has two names where it is spelled twice") {
  CHECK(between("Ab4", "B4") == "A2 up");
  CHECK(between("Ab4", "Cb5") == "m3 up");
  CHECK(between("G#4", "F5") == "d7 up");
  CHECK(between("C4", "C#4") == "A1 up");
  CHECK(between("C#4", "C4") == "A1 down");
  CHECK(between("C4", "Db4") == "m2 up");
}

TEST_CASE("compound, augmented and diminished intervals keep their number") {
  CHECK(between("C4", "D5") == "M9 up");
  CHECK(between("C4", "E5") == "M10 up");
  CHECK(between("E5", "C4") == "M10 down");
  CHECK(between("C4", "G5") == "P12 up");
  CHECK(between("C4", "C6") == "P15 up");
  CHECK(between("Fb4", "B#4") == "AAA4 up");
  CHECK(between("F4", "B#4") == "AA4 up");
  CHECK(between("B4", "Fb5") == "dd5 up");
  CHECK(between("C#4", "Cb5") == "dd8 up");
  CHECK(between("C#4", "Ebb4") == "dd3 up");
  CHECK(between("Cb4", "C#4") == "AA1 up");
  CHECK(between("C4", "F#5") == "A11 up");
}

TEST_CASE("a diminished second counts its semitones along its spelling") {
  const Interval second = interval_between(note("C4"), note("Dbb4"));
  CHECK(second.steps == 1);
  CHECK(second.semitones == 0);
  CHECK(second.direction == Direction::up);
  CHECK(interval_name(second) == "d2");
  CHECK(interval_between(note("B#3"), note("Cb4")).semitones == -1);
  CHECK(between("B#3", "Cb4") == "dd2 up");
}

TEST_CASE("an interval back has the same name the other way") {
  for (const char a : {'A', 'B', 'C', 'D', 'E', 'F', 'G'})
    for (const char b : {'A', 'B', 'C', 'D', 'E', 'F', 'G'})
      for (int alter = -2; alter <= 2; ++alter)
        for (int octave = 3; octave <= 5; ++octave) {
          const SpelledPitch from{a, alter, 4, 0};
          const SpelledPitch to{b, 0, octave, 0};
          const Interval there = interval_between(from, to);
          const Interval back = interval_between(to, from);
          CHECK(interval_name(there) == interval_name(back));
          const Direction opposite = there.direction == Direction::up     ? Direction::down
                                     : there.direction == Direction::down ? Direction::up
                                                                          : Direction::same;
          CHECK(back.direction == opposite);
        }
}

TEST_CASE("keys are read in any case and with either kind of accidental") {
  CHECK(key("D major") == Key{'D', 0, Mode::major});
  CHECK(key("f# MINOR") == Key{'F', 1, Mode::minor});
  CHECK(key("e Dorian") == Key{'E', 0, Mode::dorian});
  CHECK(key("B\u266D  mixolydian") == Key{'B', -1, Mode::mixolydian});
  CHECK(key("bb minor") == Key{'B', -1, Mode::minor});
  CHECK(key_name(key("bb minor")) == "Bb minor");
  CHECK(key("Dm") == Key{'D', 0, Mode::minor});
  CHECK(key("C#min") == Key{'C', 1, Mode::minor});
  CHECK(key("Eb") == Key{'E', -1, Mode::major});
  for (const char* text : {"", "major", "Dmajor", "H major", "D major 7", "D##  major", "D maj"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_key(text).has_value());
  }
}

TEST_CASE("scale degrees follow the letter, raised or lowered against the key") {
  // Common practice; minor is the natural minor, so its leading tone is a raised 7.
  CHECK(scale_degree(key("D major"), note("F#4")) == "3");
  CHECK(scale_degree(key("D major"), note("F4")) == "lowered 3");
  CHECK(scale_degree(key("A minor"), note("G#4")) == "raised 7");
  CHECK(scale_degree(key("A minor"), note("G4")) == "7");
  CHECK(scale_degree(key("A minor"), note("F#4")) == "raised 6");
  CHECK(scale_degree(key("C major"), note("Ab5")) == "lowered 6");
  CHECK(scale_degree(key("C major"), note("Bbb5")) == "doubly lowered 7");
  CHECK(scale_degree(key("E dorian"), note("C#4")) == "6");
  CHECK(scale_degree(key("F lydian"), note("B4")) == "4");
  CHECK(scale_degree(key("G mixolydian"), note("F4")) == "7");
  CHECK(scale_degree(key("Cb major"), note("Bb3")) == "7");
  CHECK(scale_degree(key("B locrian"), note("F5")) == "5");
  CHECK(scale_degree(key("E phrygian"), note("F5")) == "2");
  CHECK(scale_degree(key("A aeolian"), note("C5")) == "3");
  CHECK(scale_degree(key("C ionian"), note("B5")) == "7");
}
