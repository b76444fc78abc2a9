#include <doctest/doctest.h>

#include "example.hpp"
#include "firmus/report.hpp"
#include "summary_text.hpp"

using namespace firmus;
using namespace firmus::example;

TEST_CASE("three habits are told, the rest are counted") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.aliases.clear();
  row.confounders.clear();
  for (const char* name : {"low", "middle", "high"}) {
    result.habits.push_back(result.habits[0]);
    result.habits.back().group = "register";
    result.habits.back().name = name;
    result.habits.back().mean_cents = 12.4;
  }
  const std::string text = plain(result);
  CHECK(has(text, "  Rising major sixths are 27 cents flat (all 3: bars 2, 3)\n"));
  CHECK(has(text, "  Low notes are 12 cents sharp (all 3: bars 2, 3)\n"));
  CHECK_FALSE(has(text, "high notes"));
  CHECK(has(text, "  and 1 more\n"));
  CHECK_FALSE(has(text, "No habit shows"));
}

TEST_CASE("notes that are all in tune are told last, and not as a fault") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision = HabitDecision::within_tolerance;
  row.mean_cents = -14;
  const std::string text = on_one_line(plain(result));
  CHECK(has(text, "No recurring problem. (14 cents or more on rising major sixths would have shown.)"));
  CHECK(has(text, "In tune, but all a little low: rising major sixths, 14 cents (all 3: bars 2, 3)."));
  CHECK_FALSE(has(text, "flat on"));
}

TEST_CASE("a note sung as another is told by its name, not in cents") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row = HabitRow{};
  row.decision = HabitDecision::chronic;
  row.group = "substitution";
  row.name = "C#5>C5";
  row.count = 6;
  row.same_way = 5;
  row.mean_cents = -98;
  row.indices = {3, 5, 6};
  CHECK(has(plain(result), "  C instead of C sharp (5 of 6: bars 2, 3)\n"));
  row.name = "A4>A3";
  CHECK(has(plain(result), "  A3 instead of A4 (5 of 6"));
  row.name = "Ebb4>F#4";
  CHECK(has(plain(result), "  F sharp instead of E double flat ("));
  row.name = "unheard of";
  CHECK(has(plain(result), "  Unheard of ("));
}

TEST_CASE("what leans says how many more would settle it") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision = HabitDecision::leaning;
  row.required_more = 5;
  row.aliases.clear();
  row.confounders.clear();
  CHECK(
      has(on_one_line(plain(result)),
          "Possible problems: listen and decide Rising major sixths are 27 cents flat (all 3: bars 2, 3). Too few to "
          "be sure: it may be chance, or 21 to 34 cents. If it is as big as it looks, 5 more (2 recordings like this) "
          "would tell "));
  CHECK(has(on_one_line(plain(result)),
            "No recurring problem. (14 cents or more on rising major sixths would have shown.)"));
}

TEST_CASE("an interval too rare to tell is named with its count when it was far off") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision.reset();
  row.p.reset();
  row.minimum_detectable_cents.reset();
  row.count = row.same_way = 2;
  CHECK(has(on_one_line(plain(result)),
            "Too short to look for recurring problems. Only 2 rising major sixths (27 cents flat on average): not "
            "enough to tell. "));
  row.mean_cents = -24;
  CHECK_FALSE(has(plain(result), "Only 2"));
}

TEST_CASE("the interval out of a habit's notes is told with it, as one fault") {
  Result result = example::measured();
  const auto into = [](int index, double cents, const char* name) {
    NoteResult note = example::sung_note(index, index, 0, Verdict::in_tune);
    note.interval_name = name;
    note.interval_direction = Direction::down;
    note.errors.interval_cents = cents;
    return note;
  };
  result.notes.clear();
  for (int index = 0; index < 8; ++index)
    result.notes.push_back(index % 2 == 0 ? into(index, -30, "M6") : into(index, index == 7 ? 19 : 25, "M2"));
  result.habits[0].indices = {0, 2, 4, 6};
  result.habits[0].aliases.clear();
  result.habits[0].confounders.clear();
  // 25, 25, 25 and 19: 23.5.
  CHECK(has(on_one_line(plain(result)),
            "bars 1, 2, 3). Because of this, the next interval (mostly falling major seconds) is 24 cents sharp. Fix "
            "this one and that goes too. "));
  for (NoteResult& note : result.notes) note.errors.interval_cents = -30;  // the same way: another matter
  CHECK_FALSE(has(plain(result), "Because of this"));
}

TEST_CASE("the other half of the notes may be what is off, the other way") {
  Result result = example::measured();
  result.habits[0].aliases = {"all but approach step"};
  result.habits[0].confounders = {"line falling", "all but register low"};
  CHECK(has(on_one_line(plain(result)),
            "Also described as notes after a step being sharp: the same notes. Could also be notes reached by moving "
            "down or low notes being sharp: this recording cannot tell which."));
}
