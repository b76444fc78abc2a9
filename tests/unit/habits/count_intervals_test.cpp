#include <doctest/doctest.h>

#include "firmus/habits.hpp"

using namespace firmus;

namespace {

NoteResult into(int index, const char* name, Direction direction, double cents, Verdict verdict = Verdict::in_tune) {
  NoteResult note;
  note.index = index;
  note.status = NoteStatus::sung;
  note.verdict = verdict;
  note.interval_name = name;
  note.interval_direction = direction;
  note.errors.interval_cents = cents;
  return note;
}

}  // namespace

TEST_CASE("intervals are counted by name and direction, the furthest off on average first") {
  const std::vector<NoteResult> notes = {
      into(1, "M2", Direction::up, 5),    into(2, "M6", Direction::up, -30, Verdict::flat),
      into(3, "M2", Direction::down, 10), into(4, "M6", Direction::up, -10),
      into(5, "M2", Direction::up, -8),   into(6, "M6", Direction::up, 4)};
  const std::vector<HabitRow> rows = count_intervals(notes);
  REQUIRE(rows.size() == 3);
  CHECK(rows[0].name == "M6");
  CHECK(rows[0].direction == Direction::up);
  CHECK(rows[0].group == "interval");
  CHECK(rows[0].count == 3);
  CHECK(rows[0].same_way == 2);
  CHECK(rows[0].mean_cents == doctest::Approx(-12.0));
  CHECK(rows[0].lowest_cents == -30);
  CHECK(rows[0].highest_cents == 4);
  CHECK(rows[0].indices == std::vector<int>{2, 4, 6});
  CHECK(rows[1].name == "M2");
  CHECK(rows[1].direction == Direction::down);
  CHECK(rows[2].mean_cents == doctest::Approx(-1.5));
}

TEST_CASE("a count claims nothing") {
  const std::vector<HabitRow> rows = count_intervals(std::vector<NoteResult>(1, into(1, "M6", Direction::up, -90)));
  REQUIRE(rows.size() == 1);
  CHECK_FALSE(rows[0].decision);
  CHECK_FALSE(rows[0].p);
  CHECK_FALSE(rows[0].ci95_cents);
}

TEST_CASE("only judged written notes count") {
  std::vector<NoteResult> notes = {
      into(1, "M6", Direction::up, -30), into(2, "M6", Direction::up, -30, Verdict::unclear),
      into(3, "M6", Direction::up, -30), into(4, "M6", Direction::up, -30), into(5, "M6", Direction::up, -30)};
  notes[2].verdict.reset();
  notes[3].status = NoteStatus::restart;
  notes[4].errors.interval_cents.reset();
  const std::vector<HabitRow> rows = count_intervals(notes);
  REQUIRE(rows.size() == 1);
  CHECK(rows[0].indices == std::vector<int>{1});
}

TEST_CASE("another note than the written one spoils neither the interval into it nor the one out of it") {
  const std::vector<NoteResult> notes = {into(0, "M2", Direction::up, 4),
                                         into(1, "M2", Direction::up, 210, Verdict::other_note),
                                         into(2, "M2", Direction::up, -210), into(3, "M2", Direction::up, 6)};
  const std::vector<HabitRow> rows = count_intervals(notes);
  REQUIRE(rows.size() == 1);
  CHECK(rows[0].indices == std::vector<int>{0, 3});
  CHECK(rows[0].mean_cents == doctest::Approx(5.0));
}

TEST_CASE("no notes, no rows") {
  CHECK(count_intervals({}).empty());
}
