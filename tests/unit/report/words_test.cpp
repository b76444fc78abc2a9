#include <doctest/doctest.h>

#include "../../../src/report/habit_words.hpp"
#include "../../../src/report/interval_words.hpp"
#include "report/text_page.hpp"

using namespace firmus;
using namespace firmus::report;

TEST_CASE("intervals are called by their names") {
  CHECK(interval_in_words("M6", Direction::up) == "rising major sixth");
  CHECK(interval_in_words("P5", Direction::down) == "falling fifth");
  CHECK(interval_in_words("P1", Direction::same) == "repeated note");
  CHECK(interval_in_words("A1", Direction::up) == "rising augmented unison");
  CHECK(interval_in_words("m10", Direction::down) == "falling minor tenth");
  CHECK(interval_in_words("M17", Direction::up) == "rising major 17th");
  CHECK(interval_in_words("M23", Direction::up) == "rising major 23rd");
  CHECK(interval_in_words("dd5", std::nullopt) == "doubly diminished fifth");
  CHECK(interval_in_words("?", Direction::up) == "?");
}

TEST_CASE("groups of notes are called by what they have in common") {
  CHECK(full_name_in_words("interval M6 up") == "rising major sixths");
  CHECK(full_name_in_words("interval P1 same") == "repeated notes");
  CHECK(full_name_in_words("degree 2") == "the 2nd of the scale");
  CHECK(full_name_in_words("degree raised 7") == "the leading note (raised 7th)");
  CHECK(full_name_in_words("note F#4") == "F#4");
  CHECK(full_name_in_words("spot bar 3 beat 2") == "bar 3 beat 2");
  CHECK(full_name_in_words("place last") == "phrase endings");
  CHECK(full_name_in_words("approach leap") == "notes after a leap");
  CHECK(full_name_in_words("line rising") == "notes reached by moving up");
  CHECK(full_name_in_words("length short") == "short notes");
  CHECK(full_name_in_words("register high") == "high notes");
}

TEST_CASE("a note off by octaves is told as that, to within a semitone, and no other error is") {
  const auto told = [](std::optional<double> own_cents) {
    NoteResult note;
    note.errors.own_cents = own_cents;
    return other_octave_in_words(note).value_or("");
  };
  CHECK(told(1218) == "an octave higher");
  CHECK(told(-1105) == "an octave lower");
  CHECK(told(2400) == "2 octaves higher");
  CHECK(told(1310).empty());
  CHECK(told(-700).empty());
  CHECK(told(40).empty());
  CHECK(told(std::nullopt).empty());
}

TEST_CASE("a shift is told in octaves and what is left") {
  CHECK(shift_in_words(0) == "as written");
  CHECK(shift_in_words(-12) == "an octave down");
  CHECK(shift_in_words(5) == "a fourth higher");
  CHECK(shift_in_words(-11) == "a semitone higher, an octave down");
  CHECK(shift_in_words(-6) == "a tritone lower");
  CHECK(shift_in_words(-19) == "a fourth higher, 2 octaves down");
  CHECK(shift_in_words(14) == "a tone higher, an octave up");
  CHECK(shift_in_words(24) == "2 octaves up");
  CHECK(moved_in_words(1) == "up a semitone");
  CHECK(moved_in_words(-12) == "down an octave");
  CHECK(moved_in_words(-11) == "up a semitone and down an octave");
}

TEST_CASE("a moved key is spelled as keys usually are") {
  // Common practice: the spelling with fewer accidentals in the signature.
  CHECK(key_in_words(*parse_key("Eb major")) == "E flat major");
  CHECK(key_in_words(*parse_key("F# dorian")) == "F sharp dorian");
  CHECK(key_name(moved_key(*parse_key("D major"), -5)) == "A major");
  CHECK(key_name(moved_key(*parse_key("D major"), -1)) == "Db major");
  CHECK(key_name(moved_key(*parse_key("A minor"), 4)) == "C# minor");
  CHECK(key_name(moved_key(*parse_key("F# major"), 12)) == "F# major");
  CHECK(key_name(moved_key(*parse_key("E dorian"), 2)) == "F# dorian");
}

TEST_CASE("times and cents are rounded as they are read out") {
  CHECK(clock_time(59.96) == "1:00.0");
  CHECK(clock_time(0.04) == "0:00.0");
  CHECK(clock_time(3725.25) == "62:05.3");
  CHECK(clock_length(59.6) == "1:00");
  CHECK(cents_off(-0.4) == "0 cents");
  CHECK(cents_off(1.2) == "1 cent sharp");
  CHECK(cents_off(-27.5) == "28 cents flat");
}

TEST_CASE("text is cut and filled by characters, not by bytes") {
  CHECK(shortened("\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f\xc3\xa4", 4) == "\xc3\xa4...");
  CHECK(shortened("\xc3\xa4\xc3\xb6", 2) == "\xc3\xa4\xc3\xb6");
  CHECK(padded("\xc3\xa4", 3) == "\xc3\xa4  ");
}
