#include <doctest/doctest.h>

#include <algorithm>

#include "firmus/habits.hpp"
#include "simulation.hpp"

using namespace firmus;
using namespace firmus::simulation;

namespace {

// A rising major sixth five times, each to a different note; the interval after it is different each time, too.
const Melody sixths = read_melody(R"(key: C major
meter: 4/4
C4 A4 G4 F4 | D4 B4 C5 A4 | F4 D5 B4 G4 , | G4 E5 D5 C5 | Eb4 C5 A4 F4 | E4 F4 G4 E4 , |
D4 E4 F4 D4 | G4 F4 E4 C4 |)",
                                  "sixths");
constexpr int sixth_notes[] = {1, 5, 9, 13, 17};

/// Errors of a steady singer: within 6 cents, no two alike in order.
std::vector<double> steady(std::size_t count, std::uint64_t seed = 3) {
  Random random(seed);
  std::vector<double> errors;
  for (std::size_t k = 0; k < count; ++k) errors.push_back(12 * random.uniform() - 6);
  return errors;
}

std::vector<NoteResult> flat_sixths(double cents = -27, std::uint64_t seed = 3) {
  std::vector<double> errors = steady(sixths.notes.size(), seed);
  for (const int index : sixth_notes) errors[static_cast<std::size_t>(index)] += cents;
  return take_of(sixths, errors);
}

std::vector<HabitRow> habits_of(const std::vector<NoteResult>& notes) {
  return find_habits({&sixths, notes});
}

const HabitRow* row_named(const std::vector<HabitRow>& rows, std::string_view name, Direction direction) {
  for (const HabitRow& row : rows)
    if (row.name == name && row.direction == direction) return &row;
  return nullptr;
}

}  // namespace

TEST_CASE("sixths that are flat every time are chronic, with their count, size and notes") {
  const std::vector<HabitRow> rows = habits_of(flat_sixths());
  REQUIRE(chronic(rows).size() == 1);
  const HabitRow& row = rows.front();
  CHECK(row.group == "interval");
  CHECK(row.name == "M6");
  CHECK(row.direction == Direction::up);
  CHECK(row.count == 5);
  CHECK(row.same_way == 5);
  CHECK(row.mean_cents == doctest::Approx(-27).epsilon(0.2));
  CHECK(row.ci95_cents->first < -27);
  CHECK(row.ci95_cents->second > -27);
  CHECK(row.p_adjusted.value() < 0.001);
  CHECK(row.p.value() < row.p_adjusted.value());
  CHECK(row.indices == std::vector<int>{1, 5, 9, 13, 17});
}

TEST_CASE("the step out of a flat note is no second fault") {
  for (const HabitRow& row : habits_of(flat_sixths()))
    if (row.name != "M6") CHECK_FALSE(row.decision == HabitDecision::chronic);
}

TEST_CASE("a steady singer has no habit") {
  CHECK(chronic(habits_of(take_of(sixths, steady(sixths.notes.size())))).empty());
  CHECK(chronic(habits_of(take_of(sixths, std::vector<double>(sixths.notes.size(), 0.0)))).empty());
}

TEST_CASE("less than 10 cents is no habit, however steady") {
  std::vector<double> errors = steady(sixths.notes.size());
  for (double& error : errors) error /= 10;
  for (const int index : sixth_notes) errors[static_cast<std::size_t>(index)] -= 8;
  CHECK(chronic(habits_of(take_of(sixths, errors))).empty());
}

TEST_CASE("an interval that comes fewer than 4 times is only counted") {
  const HabitRow* row = row_named(habits_of(flat_sixths()), "m6", Direction::up);
  CHECK(row == nullptr);
  const std::vector<HabitRow> rows = habits_of(flat_sixths());
  const auto rare =
      std::find_if(rows.begin(), rows.end(), [](const HabitRow& r) { return r.group == "interval" && r.count < 4; });
  REQUIRE(rare != rows.end());
  CHECK_FALSE(rare->decision);
  CHECK_FALSE(rare->p);
  CHECK_FALSE(rare->ci95_cents);
}

TEST_CASE("notes that were missing, another note, unclear or sung again do not count") {
  std::vector<NoteResult> notes = flat_sixths();
  notes[5].verdict = Verdict::other_note;
  notes[9].verdict = Verdict::unclear;
  notes[12].status = NoteStatus::missing;  // the sixth after it was not sung from it
  notes[12].verdict.reset();
  NoteResult restart = notes[1];
  restart.status = NoteStatus::restart;
  notes.insert(notes.begin(), restart);
  const std::vector<HabitRow> rows = habits_of(notes);
  const HabitRow* row = row_named(rows, "M6", Direction::up);
  REQUIRE(row != nullptr);
  CHECK(row->count == 2);
  CHECK(row->indices == std::vector<int>{1, 17});
}

TEST_CASE("what leans says how many more would settle it") {
  // Of many takes with a small tendency some must be suggestive (leaning); their figures must be consistent.
  int leaning = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    std::vector<double> errors = steady(sixths.notes.size(), seed);
    for (double& error : errors) error *= 3;
    for (const int index : sixth_notes) errors[static_cast<std::size_t>(index)] -= 14;
    for (const HabitRow& row : habits_of(take_of(sixths, errors))) {
      if (row.decision != HabitDecision::leaning) {
        CHECK_FALSE(row.required_more);
        continue;
      }
      ++leaning;
      CHECK(row.p_adjusted.value() > 0.05);
      CHECK(row.p_adjusted.value() <= 0.15);
      CHECK(std::abs(row.mean_cents) >= 10);
      CHECK(row.required_more.value() >= 1);
      CHECK(row.required_more.value() % row.count == 0);  // whole takes
      CHECK(row.required_more.value() <= 10 * row.count);
    }
  }
  CHECK(leaning > 0);
}

TEST_CASE("two names for the same notes are told once") {
  // The rising fourth always goes from G4 to C5, and nothing else does: interval, note and degree are inseparable.
  const Melody fourths = read_melody(R"(key: F major
meter: 4/4
G4 C5 A4 F4 | G4 C5 Bb4 A4 | G4 C5 A4 G4 | F4 G4 C5 A4 | Bb4 A4 G4 C5 | A4 F4 E4 F4 | A4 Bb4 A4 G4 | F4:4)",
                                     "fourths");
  std::vector<double> errors = steady(fourths.notes.size());
  for (std::size_t i = 0; i < errors.size(); ++i)
    if (pitch_name(fourths.notes[i].pitch) == "C5") errors[i] += 30;
  const std::vector<NoteResult> notes = take_of(fourths, errors);
  const std::vector<HabitRow> found = chronic(find_habits({&fourths, notes}));
  REQUIRE(found.size() == 1);
  CHECK(found[0].group == "interval");
  CHECK(found[0].name == "P4");
  CHECK(found[0].mean_cents > 20);
  CHECK(std::count(found[0].aliases.begin(), found[0].aliases.end(), "note C5") == 1);
  CHECK(std::count(found[0].aliases.begin(), found[0].aliases.end(), "degree 5") == 1);
}

TEST_CASE("over takes: a habit of every take is found, with the takes that show it") {
  const std::vector<NoteResult> first = flat_sixths(-20, 3), second = flat_sixths(-24, 4), third = flat_sixths(-22, 5);
  const std::vector<HabitTake> takes = {{&sixths, first}, {&sixths, second}, {&sixths, third}};
  const std::vector<SharedHabit> shared = find_shared_habits(takes);
  REQUIRE(chronic(shared).size() == 1);
  const SharedHabit& habit = shared.front();
  CHECK(habit.row.name == "M6");
  CHECK(habit.row.count == 15);
  CHECK(habit.row.indices == std::vector<int>{1, 5, 9, 13, 17});
  CHECK(habit.takes == 3);
  CHECK(habit.takes_same_way == 3);
  REQUIRE(habit.cents_by_take.size() == 3);
  CHECK(habit.cents_by_take[1].value() < habit.cents_by_take[0].value() + 8);
  CHECK(habit.places.size() == 5);
}

TEST_CASE("over takes: one spot wrong in every take is no habit of its interval, and of 6 takes it is a spot") {
  std::vector<std::vector<NoteResult>> notes;
  for (std::uint64_t seed = 1; seed <= 8; ++seed) {
    std::vector<double> errors = steady(sixths.notes.size(), seed);
    errors[9] -= 45;
    notes.push_back(take_of(sixths, errors));
  }
  std::vector<HabitTake> takes;
  for (const auto& take : notes) takes.push_back({&sixths, take});
  const std::vector<HabitRow> found = chronic(find_shared_habits(takes));
  REQUIRE(found.size() == 1);
  CHECK(found[0].group == "spot");
  CHECK(found[0].name == "bar 3 beat 2");
  CHECK(chronic(find_shared_habits(std::span(takes).first(3))).empty());
}

TEST_CASE("over takes: melodies may differ, and takes with too few notes are left out") {
  const Melody other =
      read_melody("key: C major\nmeter: 4/4\nE4 C#5 B4 G4 | C4 A4 F4 E4 | D4 B4 A4 G4 | F4 E4 D4 C4\n", "other");
  std::vector<double> errors = steady(other.notes.size(), 9);
  for (const std::size_t k : {1, 5, 9}) errors[k] -= 25;
  const std::vector<NoteResult> first = flat_sixths(), second = take_of(other, errors);
  const std::vector<NoteResult> few(first.begin(), first.begin() + 5);
  const std::vector<HabitTake> takes = {{&sixths, few}, {&sixths, first}, {&other, second}};
  const std::vector<SharedHabit> shared = find_shared_habits(takes);
  REQUIRE(chronic(shared).size() == 1);
  CHECK(shared.front().row.name == "M6");
  CHECK(shared.front().row.count == 8);
  CHECK(shared.front().row.indices.empty());
  CHECK(shared.front().takes == 2);
  CHECK_FALSE(shared.front().cents_by_take[0]);
  CHECK(shared.front().places.front() == HabitPlace{1, 1});
  CHECK(shared.front().places.back() == HabitPlace{2, 9});
}

TEST_CASE("over takes: a long melody costs no more than its length, and its worst spot is still found") {
  std::string text = "key: C major\nmeter: 4/4\n";
  for (int bar = 0; bar < 500; ++bar) text += bar % 2 == 0 ? "C4 D4 E4 G4 | " : "F4 A4 B4 D4 |\n";
  const Melody long_one = read_melody(text, "long");
  std::vector<std::vector<NoteResult>> notes;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    std::vector<double> errors = steady(long_one.notes.size(), seed);
    errors[1001] -= 60;
    notes.push_back(take_of(long_one, errors));
  }
  std::vector<HabitTake> takes;
  for (const auto& take : notes) takes.push_back({&long_one, take});
  const std::vector<HabitRow> found = chronic(find_shared_habits(takes));
  REQUIRE(found.size() == 1);
  CHECK(found[0].name == "bar 251 beat 2");
}

TEST_CASE("no notes, no habits") {
  CHECK(find_habits({&sixths, {}}).empty());
  CHECK(find_shared_habits({}).empty());
}
