#include "reading.hpp"

using namespace firmus;

namespace {

/// "C4 D4": names in playing order.
std::string names(std::string_view text) {
  std::string line;
  for (const WrittenNote& note : read(text).notes) line += (line.empty() ? "" : " ") + pitch_name(note.pitch);
  return line;
}

std::string repeated(std::string_view text, int times) {
  std::string line;
  for (int i = 0; i < times; ++i) line += text;
  return line;
}

}  // namespace

TEST_CASE("what stands between repeat signs is played twice, or as often as the colons say") {
  CHECK(names("C4 |: D4 E4 :| F4") == "C4 D4 E4 D4 E4 F4");
  CHECK(names("|:C4:|:D4:|") == "C4 C4 D4 D4");
  CHECK(names("|: C4 :: D4 :|") == "C4 C4 D4 D4");
  CHECK(names("|: C4 :||: D4 :|") == "C4 C4 D4 D4");
  CHECK(names("|: C4 D4 ::| E4") == "C4 D4 C4 D4 C4 D4 E4");
}

TEST_CASE("without a sign where it begins, a repeat begins at the start, a double bar or the repeat before") {
  CHECK(names("C4 | D4 :| E4") == "C4 D4 C4 D4 E4");
  CHECK(names("C4 || D4 :| E4") == "C4 D4 D4 E4");
  CHECK(names("C4 |] D4 :| E4") == "C4 D4 D4 E4");
  CHECK(names("C4 :| D4 :| E4") == "C4 C4 D4 D4 E4");
  CHECK(names("|: C4 || D4 :|") == "C4 D4 C4 D4");
  CHECK(names("C4 || D4") == "C4 D4");
}

TEST_CASE("endings are played at their times") {
  CHECK(names("|: C4 |1 D4 :|2 E4 | F4") == "C4 D4 C4 E4 F4");
  CHECK(names("C4 | [1 D4 :| [2 E4 | F4") == "C4 D4 C4 E4 F4");
  CHECK(names("|:C4|1D4:|2E4||F4:|") == "C4 D4 C4 E4 F4 F4");
  CHECK(names("|: C4 [1,3 D4 :|2 E4 :|4 F4") == "C4 D4 C4 E4 C4 D4 C4 F4");
  CHECK(names("|: C4 |1-3 D4 :|4 E4 |: F4 :|") == "C4 D4 C4 D4 C4 D4 C4 E4 F4 F4");
}

TEST_CASE("bars keep their printed numbers through repeats, upbeats at the signs are whole bars with what they fill") {
  const Melody melody = read("meter: 3/4\nC4 |: D4:3 |1 E4:2 C4 :|2 F4:3 | G4:3");
  CHECK(places(melody) == "0.3 1.1 2.1 2.3 1.1 3.1 4.1");
  CHECK(melody.warnings.empty());
  const Melody split = read("meter: 3/4\nC4 |: D4:3 | E4:2 :| C4 | G4:2");
  CHECK(places(split) == "0.3 1.1 2.1 1.1 2.1 2.3 3.1");
}

TEST_CASE("words go to the times, and an ending has those of its own time") {
  const Melody melody = read("|: C4 D4 |1 E4 :|2 F4 | G4\nwords: a b c . e\nwords 2: f g . h .");
  CHECK(words(melody) == "a b c f g h e");
  CHECK(melody.warnings.empty());
  CHECK(words(read("|: C4 |1 D4 :|2 E4\nwords: a b c")) == "a b a c");
}

TEST_CASE("breaths and holds are played with the repeat") {
  CHECK(timeline(read("|: C4 hold:2 , D4 :|")) == "C4@0+3 D4@3+1 C4@4+3 D4@7+1");
  std::string phrases;
  for (const WrittenNote& note : read("|: C4 , D4 :|").notes) phrases += std::to_string(note.phrase);
  CHECK(phrases == "1223");
}

TEST_CASE("a repeat is written back as sections that read the same") {
  for (const char* text :
       {"meter: 3/4\nkey: D minor\nC4 |: D4:3 |1 E4:2 C4 :|2 F4:3 | G4:3",
        "|: C4 D4 |1 E4 :|2 F4 | G4\nwords: a b c . e\nwords 2: f g . h .", "C4 :| , D4:2:free ::|"}) {
    const Melody melody = read(text), again = read(melody_as_text(melody));
    CHECK(timeline(again) == timeline(melody));
    CHECK(places(again) == places(melody));
    CHECK(words(again) == words(melody));
  }
}

TEST_CASE("repeats and endings that do not work out say what to write") {
  CHECK(only_error("C4 |: D4") == "song.melody:1:4: this repeat is not closed; write \":|\" where it goes back");
  CHECK(only_error("|: C4 |: D4 :|") == "song.melody:1:1: this repeat is not closed; write \":|\" where it goes back");
  CHECK(only_error("C4 |1 D4 | E4") ==
        "song.melody:1:4: this ending has no other beside it, so nothing is repeated; write \":|2\" where the second "
        "ending begins");
  CHECK(only_error("C4 |1 D4 |2 E4") ==
        "song.melody:1:10: the ending before this one does not go back; write \":|\" at its end");
  CHECK(only_error("C4 :|2 D4") ==
        "song.melody:1:4: an ending follows, but no first ending stands before it; write \"|1\" where the first ending "
        "begins");
  CHECK(only_error("C4 |1 D4 :|2 E4 :| F4").find("no ending follows this repeat sign") != std::string::npos);
  CHECK(only_error("C4 |1 D4 :|3 E4").find("are not numbered 1, 2, 3 and so on") != std::string::npos);
  CHECK(only_error("C4 |2 D4 :|1 E4").find("are not numbered 1, 2, 3 and so on") != std::string::npos);
  CHECK(only_error("C4 |1 :|2 E4").find("this ending holds nothing") != std::string::npos);
  CHECK(only_error("C4 |: :| D4").find("there is nothing to repeat") != std::string::npos);
  CHECK(only_error("C4 |::| D4").find("is not a repeat sign; write \"|:\"") != std::string::npos);
  CHECK(only_error("C4 |3-1 D4").find("is not an ending") != std::string::npos);
  CHECK(
      only_error("section: A\nC4 :|") ==
      "song.melody:2:4: a repeat sign stands in a melody with \"section:\" or \"order:\"; write what is repeated as a "
      "section, and its name twice in \"order:\"");
}

// Without the bounds this would not end within the time that ctest gives a test.
TEST_CASE("hostile repeats are refused") {
  const std::string colons(200, ':');
  CHECK(only_error("C4 " + colons + "|").find("is not a repeat sign") != std::string::npos);
  CHECK(only_error(repeated("|:C4:| ", 140000)).find("has more than 500 repeat signs") != std::string::npos);
  CHECK(!errors_of(repeated("|: C4 ", 160000)).empty());
  CHECK(only_error("|: C4 |1-99999999999 D4 :|2 E4").find("are not numbered") != std::string::npos);
  CHECK(only_error("|: " + repeated("C4 ", 15000) + ":|").find("more than 20 000") != std::string::npos);
}
