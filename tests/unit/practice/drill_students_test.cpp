// Simulated students who sing the drills made for them: with the fault still there, with one the other way, and cured.
#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "base/statistics.hpp"
#include "firmus/audio.hpp"
#include "firmus/practice.hpp"
#include "firmus/take.hpp"
#include "singer.hpp"

using namespace firmus;

namespace {

// Rising sixths, leading notes, repeated notes and phrase ends, in D major.
constexpr const char* students_text =
    "title: Evening Ferry\nkey: D major\nmeter: 4/4\ntempo: 90\n"
    "D4 B4 A4 G4 | F#4 F#4 E4 C#4 | D4:2 E4 E4 | C#4 D4 E4:2 , |\n"
    "D4 B4 A4:2 | A4 A4 G4 C#4 | D4 F#4 F#4 E4 | D4 C#4 E4:2 , |\n"
    "E4 C#5 B4 G4 | G4 G4 F#4 E4 | C#4 D4 B4 A4 | F#4:2 E4:2 , |\n";

struct PlantedFault {
  const char* name;
  std::set<int> notes;
};

/// Notes that a property holds for.
template <class Holds>
std::set<int> notes_where(const Melody& melody, Holds holds) {
  std::set<int> notes;
  for (const WrittenNote& note : melody.notes)
    if (holds(note)) notes.insert(note.index);
  return notes;
}

std::vector<PlantedFault> planted_faults(const Melody& melody) {
  const auto reached_by = [&](const WrittenNote& note, const char* interval, Direction direction) {
    const auto way = interval_into(melody, note.index);
    return way && interval_name(*way) == interval && way->direction == direction;
  };
  const auto last_index = static_cast<int>(melody.notes.size()) - 1;
  return {{"rising sixths", notes_where(melody, [&](const auto& n) { return reached_by(n, "M6", Direction::up); })},
          {"leading notes", notes_where(melody, [&](const auto& n) { return n.pitch.letter == 'C'; })},
          {"repeated notes", notes_where(melody, [&](const auto& n) { return reached_by(n, "P1", Direction::same); })},
          {"phrase ends", notes_where(melody, [&](const auto& n) {
             return n.index == last_index || melody.note(n.index + 1).phrase != n.phrase;
           })}};
}

/// What is sung by the plan's errors of notes and of the take, without sound and measurement, which would take minutes.
Result exact_result(const Melody& melody, const singer::Plan& plan, const Settings& settings = {}) {
  Result result;
  result.settings = settings;
  result.melody =
      MelodyFacts{melody.title, melody.sha256, melody.text, {}, {}, {}, static_cast<int>(melody.notes.size())};
  result.transposition_semitones = 0;
  std::mt19937_64 random(plan.seed);
  const auto uniform = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  std::vector<double> all;
  for (const WrittenNote& written : melody.notes) {
    double spread = -6;  // twelve uniform numbers: nearly normal, and the same with every standard library
    for (int k = 0; k < 12; ++k) spread += uniform();
    const auto planted = plan.note_cents.find(written.index);
    all.push_back(plan.detune_cents + plan.note_spread_cents * spread +
                  (planted != plan.note_cents.end() ? planted->second : 0));
  }
  const double centre = median(all);
  for (const WrittenNote& written : melody.notes) {
    NoteResult note;
    note.index = written.index;
    note.phrase = written.phrase;
    note.onset_s = 1 + written.onset_quarters.value();
    note.end_s = *note.onset_s + written.length_quarters.value();
    note.sung_hz = 440;
    note.se_cents = 1;
    const double concert = all[static_cast<std::size_t>(written.index)], own = concert - centre;
    note.errors = {concert, own, {}};
    note.verdict = std::fabs(own) - 1 <= settings.tolerance_cents ? Verdict::in_tune
                   : own < 0                                      ? Verdict::flat
                                                                  : Verdict::sharp;
    result.notes.push_back(std::move(note));
  }
  return result;
}

Practice practice_for(const Melody& melody, const std::set<int>& notes, double cents, std::uint64_t seed) {
  std::vector<Result> results;
  for (std::uint64_t take = 0; take < 3; ++take) {
    singer::Plan plan;
    plan.seed = seed + take;
    for (const int index : notes) plan.note_cents[index] = cents;
    results.push_back(exact_result(melody, plan));
  }
  std::vector<PracticeTake> takes;
  for (const Result& result : results) takes.push_back({&melody, &result});
  PracticeOptions options;
  options.max_faults = 1;
  Practice practice = plan_practice(takes, options);
  for (PracticeFault& fault : practice.faults) fault.places.clear();  // they point into the results
  return practice;
}

/// A student sings the drill with the notes aimed at so far off; `detune` is of the whole take.
singer::Plan drill_plan(const Melody& drill, double cents, double detune, std::uint64_t seed) {
  singer::Plan plan;
  plan.seed = seed;
  plan.detune_cents = detune;
  for (const int index : drill.drill->notes) plan.note_cents[index] = cents;
  return plan;
}

Settings settings_of(const Melody& drill) {
  Settings settings;
  settings.reference = drill.reference.value_or(Reference::own);
  return settings;
}

bool is_done(const Melody& drill, const singer::Plan& plan) {
  const Settings settings = settings_of(drill);
  return drill_progress(drill, exact_result(drill, plan, settings).notes, settings)->done;
}

}  // namespace

TEST_CASE("no drill is done with the fault still 23 cents off or 30 the other way, and every drill when it is cured") {
  const Melody melody = read_melody(students_text, "ferry.melody");
  std::uint64_t seed = 4100;
  int drills = 0;
  for (const PlantedFault& planted : planted_faults(melody))
    for (const double size : {-32.0, 46.0, -60.0}) {
      CAPTURE(planted.name);
      CAPTURE(size);
      const Practice practice = practice_for(melody, planted.notes, size, seed += 10);
      REQUIRE(practice.faults.size() == 1);
      CHECK(std::fabs(practice.faults[0].row.mean_cents - size) < 15);
      for (const Drill& made : practice.faults[0].drills) {
        const Melody drill = read_melody(made.melody, made.name);
        CAPTURE(made.melody);
        CHECK(drill.warnings.empty());
        const double way = size < 0 ? -1 : 1;
        CHECK_FALSE(is_done(drill, drill_plan(drill, 23 * way, 0, seed + 1)));
        CHECK_FALSE(is_done(drill, drill_plan(drill, -30 * way, 0, seed + 2)));
        CHECK(is_done(drill, drill_plan(drill, 0, 0, seed + 3)));
        ++drills;
      }
    }
  CHECK(drills >= 60);
}

TEST_CASE("measured takes of drills: done when cured, not with the fault, even when the whole take is off as well") {
  const Melody melody = read_melody(students_text, "ferry.melody");
  const Practice practice = practice_for(melody, planted_faults(melody)[0].notes, -36, 4700);
  REQUIRE(practice.faults.size() == 1);
  for (const Drill& made : practice.faults[0].drills) {
    if (made.name != "slow" && made.name != "phrase") continue;
    CAPTURE(made.melody);
    const Melody drill = read_melody(made.melody, made.name);
    const double detune = 14;
    MeasureOptions options;
    options.settings = settings_of(drill);
    for (const double cents : {-23.0, 30.0, 0.0}) {
      CAPTURE(cents);
      const auto sung = singer::sing(drill, drill_plan(drill, cents, detune, 4800));
      const Recording take = recording_from_samples(made.name, sung.samples, 1, singer::rate_hz);
      const Result result = measure_take(take, &drill, options);
      REQUIRE(result.drill);
      CHECK(result.drill->done == (cents == 0));
    }
  }
}
