// From a fault to its drill and back: a simulated student sings rising sixths flat for three weeks. The habit must be
// found, the drill must be about it, and the drill must be reported as done once a take of it is better.
#include "firmus/practice.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "against_truth.hpp"
#include "base/statistics.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

// A melody of our own with rising sixths among steps and other leaps.
constexpr const char* ferry =
    "title: Evening Ferry\nkey: D major\nmeter: 4/4\ntempo: 84\n"
    "D4 B4 A4 F#4 | G4 E4 D4:2 | E4 C#5 B4 A4 | G4 F#4 E4:2 , |\n"
    "D4 B4 G4 A4 | F#4 E4 D4:2 | E4 C#5 A4 B4 | A4 F#4 E4:2 , |\n"
    "D4 B4 A4 G4 | F#4 G4 A4:2 | B4 A4 G4 F#4 | E4 F#4 D4:2 |\n";

singer::Plan student(std::uint64_t seed, const Melody& melody, double on_sixths_cents) {
  singer::Plan plan;
  plan.seed = seed;
  singer::plant_on_interval(plan, melody, "M6", Direction::up, on_sixths_cents);
  return plan;
}

/// Measured as `check` measures: against the reference that the melody asks for.
Result measured(const std::vector<float>& samples, const Melody& melody) {
  MeasureOptions options;
  options.settings.reference = melody.reference.value_or(Reference::own);
  return measure_samples(samples, melody, options);
}

struct Weeks {
  Melody melody = read_melody(ferry, "ferry.melody");
  std::vector<Result> results;
  explicit Weeks(double on_sixths_cents) {
    for (const std::uint64_t week : {1, 2, 3})
      results.push_back(measured(singer::sing(melody, student(700 + week, melody, on_sixths_cents)).samples, melody));
  }
  Practice practice() const {
    std::vector<PracticeTake> takes;
    for (const Result& result : results) takes.push_back({&melody, &result});
    return plan_practice(takes, {});
  }
};

const Drill& drill_called(const Practice& practice, const std::string& name) {
  for (const Drill& drill : practice.faults.at(0).drills)
    if (drill.name == name) return drill;
  throw std::runtime_error("no drill " + name);
}

/// A take of a drill by the same student, with this error on every note that the drill is about.
struct Drilled {
  DrillProgress progress;
  double truly_cents = 0;  ///< mean true error on these notes against the median of the others, random errors included
};
Drilled drilled(const Melody& drill, double cents) {
  singer::Plan plan;
  plan.seed = 811;
  plan.note_spread_cents =
      2;  // of 6 notes 5 in a row are asked for, within 14.5 cents: a spread of 4 misses it at times
  for (const int index : drill.drill->notes) plan.note_cents[index] = cents;
  const singer::Performance sung = singer::sing(drill, plan);
  const Result result = measured(sung.samples, drill);
  if (!result.drill) throw std::runtime_error("no progress is told");
  std::vector<double> aimed_cents, other_cents;
  for (const singer::SungNote& note : sung.notes) {
    const bool aimed = std::ranges::count(drill.drill->notes, note.written.value_or(-1)) > 0;
    (aimed ? aimed_cents : other_cents).push_back(*note.cents_from_written);
  }
  return {*result.drill, mean_and_sd(aimed_cents).mean - median(other_cents)};
}

}  // namespace

TEST_CASE("three weeks of flat rising sixths are drilled as rising sixths, flat by what was planted") {
  const Practice practice = Weeks(-30).practice();
  REQUIRE(!practice.faults.empty());
  const PracticeFault& fault = practice.faults[0];
  CHECK(fault.source == FaultSource::chronic);
  CHECK(fault.row.group == "interval");
  CHECK(fault.row.name == "M6");
  CHECK(fault.row.direction == Direction::up);
  CHECK(fault.row.mean_cents == doctest::Approx(-30).epsilon(0.25));
  REQUIRE(practice.range);
  CHECK(pitch_name(practice.range->low) == "D4");
  CHECK(pitch_name(practice.range->high) == "C#5");
}

TEST_CASE("a take of the drill that is as flat as ever is not done, one improved to 5 cents is") {
  const Practice practice = Weeks(-30).practice();
  for (const char* name : {"steps", "slow", "other-starts"}) {
    CAPTURE(name);
    const Melody drill = read_melody(drill_called(practice, name).melody, name);
    const Drilled before = drilled(drill, -45), after = drilled(drill, -5);
    CHECK_FALSE(before.progress.done);
    CHECK(std::abs(*before.progress.mean_cents - before.truly_cents) < 3);
    CHECK(after.progress.done);
    CHECK(std::abs(*after.progress.mean_cents - after.truly_cents) < 3);
  }
}
