#include "reading.hpp"

using namespace firmus;

TEST_CASE("a first bar shorter than the meter is the upbeat, bar 0, and the last bar may lack it") {
  const Melody melody = read("meter: 3/4\nD4 | G4:2 A4 | B4:2");
  CHECK(places(melody) == "0.3 1.1 1.3 2.1");
  CHECK(melody.warnings.empty());
}

TEST_CASE("a full first bar is bar 1") {
  CHECK(places(read("meter: 2/4\nC4 D4 | E4:2 |")) == "1.1 1.2 2.1");
}

TEST_CASE("without a meter there are no bars, whatever bar lines there are") {
  CHECK(places(read("C4 D4 | E4 F4")) == "- - - -");
  CHECK(warnings_of("C4 | D4 E4 F4 |").empty());
}

TEST_CASE("with a meter and no bar line the meter counts the bars") {
  const Melody melody = read("meter: 4/4\nC4:3 D4:2 E4:3 F4:9 G4");
  CHECK(places(melody) == "1.1 1.4 2.2 3.1 5.2");
  CHECK(melody.warnings.empty());
  CHECK(places(read("meter: 4/4\nC4 D4")) == "1.1 1.2");
}

TEST_CASE("bars that do not add up are warned of with both counts, the rest keep their places") {
  const std::string text = "meter: 3/4\nC4 D4 E4 | F4 G4 | A4:3.5 | B4:3";
  CHECK(warnings_of(text) ==
        std::vector<std::string>{
            "song.melody:2:12: bar 2 has 2 beats, its meter 3/4 asks for 3; check its lengths and bar lines",
            "song.melody:2:20: bar 3 has 7/2 beats, its meter 3/4 asks for 3; check its lengths and bar lines"});
  CHECK(places(read(text)) == "1.1 1.2 1.3 2.1 2.2 3.1 4.1");
  CHECK(warnings_of("meter: 2/4\nC4:3 | D4:2").size() == 1);
}

TEST_CASE("rests, holds and grace notes count as long as they last") {
  const Melody melody = read("meter: 3/4\nrest:2 C4 | hold:2 D4:0 E4 | F4:3 G4:0 | A4:3");
  CHECK(places(melody) == "1.3 2.3 2.3 3.1 3.4 4.1");
  CHECK(melody.warnings.empty());
}

TEST_CASE("a bar split by a section's begin is one bar") {
  for (const char* bar_line : {"", " |"}) {
    const Melody melody =
        read(std::string("meter: 3/4\nsection: A\nC4 | D4:3 | E4:2") + bar_line + "\nsection: B\nF4 | G4:2");
    CHECK(places(melody) == "0.3 1.1 2.1 2.3 3.1");
    CHECK(melody.warnings.empty());
  }
}

TEST_CASE("a section that is repeated may bring its own upbeat") {
  const Melody melody = read("meter: 4/4\norder: A A\nsection: A\nC4 | D4:4 | E4:3");
  CHECK(places(melody) == "0.4 1.1 2.1 0.4 1.1 2.1");
  CHECK(melody.warnings.empty());
  CHECK(warnings_of("meter: 4/4\norder: A B B\nsection: A\nC4:4 |\nsection: B\nC4 | D4:4 | E4:3").empty());
  CHECK(warnings_of("meter: 4/4\norder: A B\nsection: A\nC4:4 |\nsection: B\nC4 | D4:4 | E4:4").size() == 1);
}

TEST_CASE("a new meter ends the bar and rules from there") {
  CHECK(places(read("meter: 2/4\nC4 D4\nmeter: 3/8\nE4 F4 G4 | A4:3")) == "1.1 1.2 2.1 2.2 2.3 3.1");
  CHECK(warnings_of("meter: 2/4\nC4:2 | D4\nmeter: 3/4\nE4:3 |").size() == 1);
  CHECK(places(read("C4\nmeter: 2/4\nD4:2 | E4:2 |")) == "- 1.1 2.1");
}

TEST_CASE("a key signature left off is asked about") {
  CHECK(warnings_of("key: D major\nD4 F4 A4 F4 D4 C#4") ==
        std::vector<std::string>{"song.melody:2:4: F4 stands outside D major (2 times): is F#4 meant?; accidentals are "
                                 "always written, whatever the key"});
  CHECK(warnings_of("key: Bb major\nE4 D4 E5 B4 B3").size() == 2);
}

TEST_CASE("a note outside the key is not asked about once, nor where the key's own stands too, nor with a sign") {
  CHECK(warnings_of("key: D major\nD4 F4 A4").empty());
  CHECK(warnings_of("key: D major\nF4 F4 F#5").empty());
  CHECK(warnings_of("key: C major\nF#4 F#4 D#4 D#4").empty());
  CHECK(warnings_of("key: C minor\nB4 C5 B4 A4 A4").empty());  // raised 6 and 7 of minor
  CHECK(warnings_of("F4 F4").empty());
}

TEST_CASE("a passage played twice stands outside the key once") {
  CHECK(warnings_of("key: D major\norder: A A\nsection: A\nD4 F4").empty());
}
