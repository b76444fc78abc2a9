// The targets of the method for several takes of one student and for a class, by simulation.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "simulation.hpp"
#include "targets.hpp"

using namespace firmus;
using namespace firmus::simulation;
using habits::Family;

namespace {

constexpr double several_takes_spread_cents = 15;
constexpr std::size_t class_size = 24;

/// The errors planted in the takes of one melody.
struct Plan {
  std::size_t takes = 2;
  double wander_cents = 0;  ///< standard deviation between takes, of each interval
  int spots = 0;            ///< written notes that are 40 cents off in every take
  double cents = 0;         ///< on one interval of 6 notes
  double share = 1;         ///< of the takes that have it
};

int groups_of_takes(const Plan& plan) {
  return std::max(40, takes_to_simulate() / static_cast<int>(plan.takes));
}

std::vector<HabitRow> chronic_over(const Line& line, const Plan& plan, const std::vector<int>& indices,
                                   Random& random) {
  const std::size_t count = line.melody.notes.size();
  std::vector<double> spots(count, 0.0);
  for (int k = 0; k < plan.spots; ++k) spots[random.below(count)] = 40 * random.sign();
  const double cents = plan.cents * random.sign();
  std::vector<std::vector<NoteResult>> notes;
  for (std::size_t t = 0; t < plan.takes; ++t) {
    std::vector<double> errors = noise_of(Noise::memory_30, count, several_takes_spread_cents, random);
    for (std::size_t k = 0; k < count; ++k) errors[k] += spots[k];
    if (plan.wander_cents > 0) add_wander(errors, line, plan.wander_cents, random);
    if (random.uniform() < plan.share)
      for (const int index : indices) errors[static_cast<std::size_t>(index)] += cents;
    notes.push_back(take_of(line.melody, errors));
  }
  std::vector<HabitTake> takes;
  for (const auto& take : notes) takes.push_back({&line.melody, take});
  return chronic(find_shared_habits(takes));
}

/// How often a habit (other than a spot) is reported where there is none.
Rate rate_of_false(const Plan& plan, std::uint64_t seed) {
  Random random(seed);
  Rate rate;
  for (int i = 0; i < groups_of_takes(plan); ++i) {
    const Line& line = lines()[random.below(lines().size())];
    const auto rows = chronic_over(line, plan, {}, random);
    rate.count(std::any_of(rows.begin(), rows.end(), [](const HabitRow& row) { return row.group != "spot"; }));
  }
  return rate;
}

Rate rate_of_found(const Plan& plan, std::uint64_t seed) {
  const auto groups = groups_of_size(lines(), {Family::interval}, 6, 6);
  REQUIRE(!groups.empty());
  Random random(seed);
  Rate rate;
  for (int i = 0; i < groups_of_takes(plan); ++i) {
    const Planted& planted = groups[random.below(groups.size())];
    const auto rows = chronic_over(*planted.line, plan, planted.indices, random);
    rate.count(std::any_of(rows.begin(), rows.end(), [&](const HabitRow& row) { return names(row, planted.name); }));
  }
  return rate;
}

struct Target {
  std::string what;
  Plan plan;
  double figure;
};

}  // namespace

TEST_CASE("simulation: over several takes, and over a class, little is said to be chronic that is not") {
  std::vector<Target> targets;
  for (const std::size_t takes : {2, 3, 6}) {
    targets.push_back({fmt::format("{} takes", takes), {takes, 0, 0, 0, 1}, 0.05});
    targets.push_back({fmt::format("{} takes, the same 3 spots wrong", takes), {takes, 0, 3, 0, 1}, 0.05});
    targets.push_back({fmt::format("{} takes, intervals wander 10 cents", takes), {takes, 10, 0, 0, 1}, 0.10});
  }
  targets.push_back({"class", {class_size, 0, 0, 0, 1}, 0.03});
  targets.push_back({"class, intervals wander 15 cents", {class_size, 15, 0, 0, 1}, 0.05});
  targets.push_back({"class that misses 3 spots", {class_size, 0, 3, 0, 1}, 0.10});
  for (const Target& target : targets) {
    CAPTURE(target.what);
    const Rate rate = rate_of_false(target.plan, 7111);
    tell("false, " + target.what, rate.value());
    CHECK(rate.at_most(target.figure));
  }
}

TEST_CASE("simulation: 25 cents on 6 notes are found over 2 and 3 takes, and in a class, also where 60 % have it") {
  for (const Target& target :
       {Target{"2 takes", {2, 0, 0, 25, 1}, 0.82}, Target{"3 takes", {3, 0, 0, 25, 1}, 0.95},
        Target{"class", {class_size, 0, 0, 25, 1}, 0.85}, Target{"class, 60 %", {class_size, 0, 0, 25, 0.6}, 0.65}}) {
    CAPTURE(target.what);
    const Rate rate = rate_of_found(target.plan, 7112);
    tell("found, " + target.what, rate.value());
    CHECK(rate.at_least(target.figure));
  }
}
