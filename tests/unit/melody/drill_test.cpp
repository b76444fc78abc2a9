#include <doctest/doctest.h>

#include "reading.hpp"

using namespace firmus;

TEST_CASE("a drill header says what is off, which way, and the notes it comes down to") {
  const Melody drill = read_melody("drill: flat on interval M6 up; notes 2 4\nD4 B4 D4 B4\n", "d");
  REQUIRE(drill.drill);
  CHECK(drill.drill->flat);
  CHECK(drill.drill->group == "interval");
  CHECK(drill.drill->name == "M6");
  CHECK(drill.drill->direction == Direction::up);
  CHECK(drill.drill->notes == std::vector<int>{1, 3});
  const Melody spot = read_melody("drill: sharp on spot bar 3 beat 2; note 1\nD4\n", "d");
  REQUIRE(spot.drill);
  CHECK_FALSE(spot.drill->flat);
  CHECK(spot.drill->name == "bar 3 beat 2");
  CHECK_FALSE(spot.drill->direction);
  CHECK(read_melody("drill: flat on note F#4; notes 1\nF#4\n", "d").drill->name == "F#4");
}

TEST_CASE("a drill header is written as it is read") {
  for (const char* line : {"flat on interval M6 up; notes 1 3", "flat by 31 on interval M6 up; notes 1 3",
                           "sharp by 8 on substitution C#5>C5; notes 2", "sharp on degree raised 7; notes 2"}) {
    const Melody drill = read_melody(std::string("drill: ") + line + "\nD4 B4 D4\n", "d");
    REQUIRE(drill.drill);
    CHECK(drill_aim_text(*drill.drill) == line);
    CHECK(read_melody(melody_as_text(drill), "d").drill == drill.drill);
  }
}

TEST_CASE("a drill header that says nothing sure is an error with its place") {
  for (const char* value :
       {"", "flat", "flat on interval M6 up", "low on interval M6 up; notes 1", "flat on colour red; notes 1",
        "flat on note D4; notes", "flat on note D4; notes 0", "flat on note D4; notes one", "flat on note D4; notes 9",
        "flat by on note D4; notes 1", "flat by much on note D4; notes 1", "flat by -3 on note D4; notes 1"})
    try {
      read_melody(std::string("drill: ") + value + "\nD4 B4\n", "d");
      FAIL("no error for: ", value);
    } catch (const InputError& error) {
      CHECK(error.problems()[0].place.line == 1);
      CHECK(error.problems()[0].remedy != "");
    }
}
