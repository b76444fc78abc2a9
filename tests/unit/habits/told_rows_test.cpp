// What is told of a group are the errors of its own notes; rows that their notes do not bear out are not told.
#include "told_rows.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "mean_error.hpp"
#include "simulation.hpp"

using namespace firmus;
using namespace firmus::simulation;
using doctest::Approx;
using habits::Family;

namespace {

// Eight rising major seconds to different notes among 24, and none elsewhere.
const Melody seconds = read_melody(R"(key: C major
meter: 4/4
G4 A4 E4 C4 | F4 G4 C5 A4 | C4 D4 C4 G4 , | D4 E4 C4 A4 | G4 A4 F4 C5 | F4 G4 E4 C4 | C4 D4 C5 G4 | D4 E4 C4:2)",
                                   "seconds");

std::vector<int> rising_seconds() {
  std::vector<int> indices;
  const auto names = habits::group_names(seconds);
  for (std::size_t i = 0; i < names.size(); ++i)
    if (std::count(names[i].begin(), names[i].end(), habits::GroupName{Family::interval, "M2", Direction::up}) > 0)
      indices.push_back(static_cast<int>(i));
  return indices;
}

/// Notes off by `group_cents` where the rising seconds are, else by `rest_cents`; each 2 cents off that by turns.
std::vector<NoteResult> take(double group_cents, double rest_cents) {
  std::vector<double> errors;
  const std::vector<int> group = rising_seconds();
  for (std::size_t i = 0; i < seconds.notes.size(); ++i) {
    const bool in_group = std::count(group.begin(), group.end(), static_cast<int>(i)) > 0;
    errors.push_back((in_group ? group_cents : rest_cents) + (i % 3 == 0 ? 2 : i % 3 == 1 ? -2 : 0));
  }
  return take_of(seconds, errors);
}

HabitRow told(std::string group, std::string name, double cents, int count, int same_way, int out_of_tune) {
  HabitRow row;
  row.decision = HabitDecision::chronic;
  row.group = std::move(group);
  row.name = std::move(name);
  row.count = count;
  row.same_way = same_way;
  row.out_of_tune = out_of_tune;
  row.mean_cents = cents;
  row.contrast_cents = cents;
  row.p = 0.0001;
  return row;
}

std::vector<HabitRow> kept(std::vector<HabitRow> rows) {
  std::vector<SharedHabit> shared;
  for (HabitRow& row : rows) shared.push_back({std::move(row), {}, 0, 0, {}});
  habits::keep_what_is_told(shared);
  std::vector<HabitRow> left;
  for (SharedHabit& habit : shared) left.push_back(std::move(habit.row));
  return left;
}

}  // namespace

TEST_CASE("the size told is the mean error of the very notes, the contrast is what they are against the rest") {
  const std::vector<NoteResult> notes = take(-30, 8);
  const std::vector<HabitRow> found = chronic(find_habits({&seconds, notes}));
  REQUIRE(!found.empty());
  const HabitRow& row = found.front();
  CHECK(row.name == "M2");
  REQUIRE(row.indices == rising_seconds());
  double sum = 0;
  for (const int index : row.indices) sum += notes[static_cast<std::size_t>(index)].errors.own_cents.value();
  CHECK(row.mean_cents == Approx(sum / static_cast<double>(row.indices.size())).epsilon(1e-9));
  CHECK(row.ci95_cents->first < row.mean_cents);
  CHECK(row.ci95_cents->second < -25);
  CHECK(std::fabs(*row.contrast_cents + 38) < 2);
  CHECK(row.contrast_ci95_cents->first < *row.contrast_cents);
  CHECK(row.same_way == row.count);
  CHECK(row.out_of_tune == row.count);
}

TEST_CASE("notes that are all within the tolerance are no fault: not chronic, and told last") {
  std::vector<HabitRow> rows = find_habits({&seconds, take(-17, 2)});
  CHECK(chronic(rows).empty());
  const auto row = std::find_if(rows.begin(), rows.end(), [](const HabitRow& r) { return r.name == "M2"; });
  REQUIRE(row != rows.end());
  CHECK(row->decision == HabitDecision::within_tolerance);
  CHECK(row->out_of_tune == 0);
  CHECK(std::none_of(row + 1, rows.end(), [](const HabitRow& r) { return r.decision.has_value(); }));
}

TEST_CASE("the mean of notes that a contrast finds, but that lie where they should, is not called flat") {
  // The rest of the take is sharp, the seconds are right.
  for (const HabitRow& row : find_habits({&seconds, take(0, 30)}))
    if (row.name == "M2" && row.direction == Direction::up) CHECK_FALSE(row.decision);
}

TEST_CASE("of low, middle and high two are told at most; in what is told half of the notes go the same way") {
  const std::vector<HabitRow> registers =
      kept({told("register", "low", -30, 6, 6, 5), told("register", "middle", 20, 8, 8, 4),
            told("register", "high", 15, 6, 5, 2), told("degree", "3", 31, 6, 6, 6), told("degree", "4", 31, 6, 6, 6),
            told("degree", "5", 31, 6, 6, 6)});
  REQUIRE(registers.size() == 5);
  CHECK(registers[1].name == "middle");
  CHECK(registers[2].name == "3");
  CHECK(kept({told("degree", "3", -12, 7, 3, 4)}).empty());
  CHECK(kept({told("degree", "3", -12, 6, 3, 4)}).size() == 1);
  CHECK(kept({told("degree", "3", -9, 7, 7, 1)}).empty());
}

TEST_CASE("in simulated takes every row that is told holds of its notes") {
  Random random(7130);
  const auto planted = groups_of_size(invented_lines(), {Family::interval, Family::registers, Family::degree}, 5, 20);
  int told_rows = 0;
  for (int i = 0; i < 300; ++i) {
    const Planted& one = planted[random.below(planted.size())];
    std::vector<double> errors = noise_of(Noise::all, one.line->melody.notes.size(), 15, random);
    for (const int index : one.indices) errors[static_cast<std::size_t>(index)] += random.sign() * 20 - 12;
    for (double& error : errors) error += 6;
    for (const HabitRow& row : find_habits({&one.line->melody, take_of(one.line->melody, errors)})) {
      double sum = 0;
      for (const int index : row.indices) sum += errors[static_cast<std::size_t>(index)];
      CHECK(row.mean_cents == Approx(sum / row.count).epsilon(1e-9));
      if (!row.decision) continue;
      ++told_rows;
      CHECK(2 * row.same_way >= row.count);
      CHECK(std::fabs(row.mean_cents) >= 10);
      CHECK((row.out_of_tune == 0) == (row.decision == HabitDecision::within_tolerance));
    }
  }
  CHECK(told_rows > 50);
}

TEST_CASE("the interval of a mean is Student's; takes that differ make it wider") {
  // Cents -18 -12 -25 -9 -21 -15: interval -22.846 to -10.488 (computed with scipy).
  const std::vector<std::vector<double>> one = {{-18, -12, -25, -9, -21, -15}};
  const auto mean = habits::mean_error(one);
  REQUIRE(mean);
  CHECK(mean->cents == Approx(-16.6667).epsilon(1e-5));
  CHECK(mean->ci95.first == Approx(-22.846).epsilon(1e-4));
  CHECK(mean->ci95.second == Approx(-10.488).epsilon(1e-4));
  const std::vector<std::vector<double>> alike = {{-18, -12, -15}, {-12, -18, -15}, {-15, -12, -18}};
  const std::vector<std::vector<double>> unlike = {{-18, -18, -18}, {-12, -12, -12}, {-15, -15, -15}};
  const auto width = [](const EstimateWithCi& size) { return size.ci95.second - size.ci95.first; };
  CHECK(habits::mean_error(alike)->cents == Approx(-15));
  CHECK(width(*habits::mean_error(unlike)) > 1.1 * width(*habits::mean_error(alike)));
  CHECK_FALSE(habits::mean_error(std::vector<std::vector<double>>{{-18}, {}}));
}

TEST_CASE("simulation: the interval of the mean holds what was planted, for one take and over several") {
  Random random(7131);
  for (const std::size_t takes : {1, 3, 6}) {
    CAPTURE(takes);
    Rate holds;
    for (int i = 0; i < 10 * takes_to_simulate(); ++i) {
      std::vector<std::vector<double>> errors(takes);
      for (auto& of_take : errors) {
        const double wander = takes > 1 ? 6 * random.normal() : 0;
        for (int k = 0; k < 6; ++k) of_take.push_back(-25 + wander + 15 * random.normal());
      }
      const auto mean = habits::mean_error(errors);
      holds.count(mean->ci95.first <= -25 && -25 <= mean->ci95.second);
    }
    tell("interval of the mean holds the truth", holds.value());
    CHECK(holds.value() > 0.92);
    CHECK(holds.value() < 0.985);
  }
}
