// Changes of a habit over the weeks are reported when there are any, and not for a student who stays the same.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "simulation.hpp"
#include "targets.hpp"

using namespace firmus;
using namespace firmus::simulation;
using habits::Family;

namespace {

constexpr double follow_spread_cents = 15;

/// A student's takes of one melody; the habit is `cents[t]` in take t.
struct Course {
  std::vector<double> cents;
  std::size_t earlier = 0;
  double wander_cents = 10;  ///< standard deviation between takes, of each interval
};

Course steady_course(std::size_t takes, double cents) {
  return {std::vector<double>(takes, cents), takes / 2, 10};
}
Course fading(std::size_t takes, double cents) {
  Course course = steady_course(takes, 0);
  for (std::size_t t = 0; t < takes; ++t)
    course.cents[t] = cents * (1 - static_cast<double>(t) / static_cast<double>(takes - 1));
  return course;
}
Course stopping(std::size_t takes, double cents) {
  Course course = steady_course(takes, 0);
  for (std::size_t t = 0; t < takes / 2; ++t) course.cents[t] = cents;
  return course;
}
Course with_wander(Course course, double cents) {
  course.wander_cents = cents;
  return course;
}
Course backwards(Course course) {
  std::reverse(course.cents.begin(), course.cents.end());
  return course;
}

std::vector<HabitChange> tracked(const Planted& planted, const Course& course, Random& random) {
  const Line& line = *planted.line;
  std::vector<std::vector<NoteResult>> notes;
  for (const double cents : course.cents) {
    std::vector<double> errors = noise_of(Noise::memory_30, line.melody.notes.size(), follow_spread_cents, random);
    add_wander(errors, line, course.wander_cents, random);
    for (const int index : planted.indices) errors[static_cast<std::size_t>(index)] += cents;
    notes.push_back(take_of(line.melody, errors));
  }
  std::vector<HabitTake> takes;
  for (const auto& take : notes) takes.push_back({&line.melody, take});
  return follow_habits(takes, course.earlier);
}

bool is_change(HabitTrend status) {
  return status != HabitTrend::stays && status != HabitTrend::uncertain;
}

const std::vector<Planted>& sixfold_intervals() {
  static const auto groups = groups_of_size(lines(), {Family::interval}, 6, 6);
  REQUIRE(!groups.empty());
  return groups;
}

int students() {
  return std::max(60, takes_to_simulate() / 4);
}

/// Share of students for whom any change of a habit is reported.
Rate rate_of_any_change(const Course& course, std::uint64_t seed) {
  Random random(seed);
  Rate rate;
  for (int i = 0; i < students(); ++i) {
    const auto changes = tracked(sixfold_intervals()[random.below(sixfold_intervals().size())], course, random);
    rate.count(std::any_of(changes.begin(), changes.end(), [](const HabitChange& c) { return is_change(c.status); }));
  }
  return rate;
}

/// Share of students for whom the planted habit is reported with one of these statuses.
Rate rate_of_fate(const Course& course, std::initializer_list<HabitTrend> statuses, std::uint64_t seed) {
  Random random(seed);
  Rate rate;
  for (int i = 0; i < students(); ++i) {
    const Planted& planted = sixfold_intervals()[random.below(sixfold_intervals().size())];
    const auto changes = tracked(planted, course, random);
    rate.count(std::any_of(changes.begin(), changes.end(), [&](const HabitChange& c) {
      return std::find(statuses.begin(), statuses.end(), c.status) != statuses.end() &&
             names(c.habit.row, planted.name, true);
    }));
  }
  return rate;
}

}  // namespace

TEST_CASE("simulation: of a student who stays the same no habit is said to change, nineteen times in twenty") {
  for (const auto& [what, course] :
       {std::pair("8 takes, no habit", steady_course(8, 0)), std::pair("8 takes, 28 cents", steady_course(8, -28)),
        std::pair("5 takes, no habit", steady_course(5, 0)), std::pair("5 takes, 28 cents", steady_course(5, 28))}) {
    CAPTURE(what);
    const Rate rate = rate_of_any_change(course, 7121);
    tell(std::string("said to change, ") + what, rate.value());
    CHECK(rate.at_most(0.05));
  }
}

TEST_CASE("simulation: a habit that goes is told as gone or better, one that comes as new or worse") {
  using enum HabitTrend;
  struct Way {
    std::string what;
    Course course;
    std::initializer_list<HabitTrend> statuses;
    double at_least;
  };
  for (const Way& way : {Way{"stops after 4 of 8 takes", stopping(8, -30), {gone, better}, 0.60},
                         Way{"the same, takes alike", with_wander(stopping(8, -30), 3), {gone, better}, 0.95},
                         Way{"fades over 8 takes", fading(8, -40), {gone, better}, 0.40},
                         Way{"the same, takes alike", with_wander(fading(8, -40), 3), {gone, better}, 0.90},
                         Way{"comes after 4 of 8 takes", backwards(stopping(8, 30)), {appeared, worse}, 0.60},
                         Way{"stays over 8 takes", steady_course(8, 30), {stays}, 0.90}}) {
    CAPTURE(way.what);
    const Rate rate = rate_of_fate(way.course, way.statuses, 7122);
    tell(way.what, rate.value());
    CHECK(rate.at_least(way.at_least));
  }
}

TEST_CASE("the sizes then and now are those that were planted") {
  Random random(7123);
  const Planted& planted = sixfold_intervals().front();
  double then = 0, now = 0;
  int told = 0;
  for (int i = 0; i < 40; ++i)
    for (const HabitChange& change : tracked(planted, stopping(8, -40), random)) {
      if (!names(change.habit.row, planted.name) || !change.earlier || !change.later) continue;
      CHECK(change.cents_by_take.size() == 8);
      CHECK(std::fabs(change.change->cents - (change.later->cents - change.earlier->cents)) < 1e-9);
      then += change.earlier->cents;
      now += change.later->cents;
      ++told;
    }
  REQUIRE(told >= 36);
  CHECK(std::fabs(then / told + 40) < 4);
  CHECK(std::fabs(now / told) < 4);
}

TEST_CASE("one take, and takes that are not to be compared, are told as they are") {
  Random random(7124);
  const Planted& planted = sixfold_intervals().front();
  for (const std::size_t takes : {1, 4}) {
    Course course = steady_course(takes, 45);
    course.earlier = 0;
    const auto changes = tracked(planted, course, random);
    REQUIRE(!changes.empty());
    for (const HabitChange& change : changes) {
      CHECK(change.status == HabitTrend::stays);
      CHECK_FALSE(change.earlier.has_value());
      CHECK_FALSE(change.change.has_value());
      CHECK(change.cents_by_take.size() == takes);
    }
  }
  CHECK(follow_habits({}, 0).empty());
}
