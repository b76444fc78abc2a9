#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "firmus/melody.hpp"

using namespace firmus;

namespace {

constexpr const char* song =
    "title: Song\nkey: G major\nmeter: 3/4\norder: A A B\n\n"
    "section: A\nG4 A4 B4 | C5 D5 E5 |\nsection: B\nkey: D major\nF#4 G4 A4 | D5:3 |\n";

std::vector<std::string> names_of(const Melody& melody) {
  std::vector<std::string> names;
  for (const WrittenNote& note : melody.notes) names.push_back(pitch_name(note.pitch));
  return names;
}

}  // namespace

TEST_CASE("a range of bars is two numbers in order, or one") {
  CHECK(parse_bar_range("9-16") == BarRange{9, 16});
  CHECK(parse_bar_range("7") == BarRange{7, 7});
  CHECK(parse_bar_range("0-2") == BarRange{0, 2});
  for (const char* wrong : {"", "-", "9-", "-9", "16-9", "a", "1-2-3", "1 - 2", "1.5", "99999999999"})
    CHECK_FALSE(parse_bar_range(wrong).has_value());
  CHECK(bar_range_text({9, 16}) == "9-16");
  CHECK(bar_range_text({9, 9}) == "9");
  CHECK(bar_range_in_words({9, 16}) == "bars 9 to 16");
  CHECK(bar_range_in_words({9, 9}) == "bar 9");
}

TEST_CASE("a passage has the notes of its bars, of a repeated bar once, counted from the first") {
  const Melody melody = read_melody("meter: 2/4\n\nC4 D4 | E4 F4 | rest G4 | A4 B4 |", "x");
  const Melody middle = passage_of(melody, {2, 3}, "x");
  CHECK(names_of(middle) == std::vector<std::string>{"E4", "F4", "G4"});
  CHECK(middle.notes[0].index == 0);
  CHECK(middle.notes[2].index == 2);
  CHECK(middle.notes[0].onset_quarters == Fraction(0));
  CHECK(middle.notes[2].onset_quarters == Fraction(3));
  CHECK(middle.notes[2].bar == 3);
  CHECK(middle.notes[2].beat == Fraction(2));
  CHECK(middle.title == "bars 2 to 3");
  CHECK(middle.text == melody.text);
  CHECK(is_same_melody(middle, passage_of(melody, {2, 3}, "x")));
  CHECK_FALSE(is_same_melody(middle, melody));
  CHECK_FALSE(is_same_melody(middle, passage_of(melody, {2, 4}, "x")));
}

TEST_CASE("of a part that is played twice a passage has the first time, and its own key") {
  const Melody melody = read_melody(song, "x");
  REQUIRE(melody.notes.size() == 16);
  const int last = *melody.notes.back().bar;
  const Melody end = passage_of(melody, {2, last}, "x");
  CHECK(end.title == "Song, bars 2 to " + std::to_string(last));
  for (const WrittenNote& note : end.notes) CHECK(note.pass == 1);
  CHECK(names_of(passage_of(melody, {last, last}, "x")).back() == "D5");
  CHECK(key_name(*passage_of(melody, {last, last}, "x").key) == "D major");
}

TEST_CASE("a passage keeps the notes that a drill aims at") {
  const Melody melody = read_melody("drill: flat on note E4; notes 1 3\nmeter: 2/4\n\nE4 D4 | E4 F4 |", "x");
  REQUIRE(melody.drill.has_value());
  CHECK(passage_of(melody, {2, 2}, "x").drill->notes == std::vector<int>{0});
  CHECK(passage_of(melody, {1, 2}, "x").drill->notes == std::vector<int>{0, 2});
}

TEST_CASE("a passage without notes is an error that says which bars there are") {
  const Melody melody = read_melody("meter: 2/4\n\nC4 D4 | E4 F4 |", "song.melody");
  try {
    passage_of(melody, {5, 8}, "song.melody");
    FAIL("no error");
  } catch (const InputError& error) {
    CHECK(error.problems().front().what == "has no note in bars 5 to 8");
    CHECK(error.problems().front().remedy == "it has bars 1 to 2");
  }
  CHECK_THROWS_AS(passage_of(read_melody("C4 D4", "x"), {1, 2}, "x"), InputError);
}
