#include <doctest/doctest.h>

#include <algorithm>

#include "firmus/practice.hpp"

using namespace firmus;

namespace {

// Four rising sixths among steps; the student below sings their upper notes flat.
constexpr const char* plan_text =
    "title: Evening Ferry\n"
    "key: D major\n"
    "meter: 4/4\n"
    "tempo: 90\n"
    "D4 B4 A4 G4 | F#4 E4 D4:2 | E4 C#5 B4 A4 | G4 F#4 E4:2 , |\n"
    "D4 B4 A4:2 | F#4 D5 C#5 B4 | A4 G4 F#4 E4 | D4:4 |\n";

/// The take of a student who is in tune except on every rising major sixth, which is off by the given cents.
Result sung(const Melody& melody, double on_sixths_cents, double other_cents = 0) {
  Result result;
  result.melody =
      MelodyFacts{melody.title, melody.sha256, melody.text, {}, {}, {}, static_cast<int>(melody.notes.size())};
  result.transposition_semitones = 0;
  double time_s = 1;
  for (const WrittenNote& note : melody.notes) {
    const auto way = interval_into(melody, note.index);
    const bool sixth = way && interval_name(*way) == "M6" && way->direction == Direction::up;
    NoteResult row;
    row.index = note.index;
    row.written = pitch_name(note.pitch);
    row.phrase = note.phrase;
    const double wobble = note.index % 3 - 1.0;  // nobody is exact
    const double cents = (sixth ? on_sixths_cents : other_cents) + 3 * wobble;
    row.errors = {cents, cents, cents};
    row.se_cents = 1;
    row.verdict = cents < -26 ? Verdict::flat : cents > 26 ? Verdict::sharp : Verdict::in_tune;
    row.onset_s = time_s;
    row.end_s = time_s + 0.6;
    time_s += 0.7;
    result.notes.push_back(row);
  }
  return result;
}

Practice planned(double on_sixths_cents, const PracticeOptions& options = {}) {
  const Melody melody = read_melody(plan_text, "ferry.melody");
  std::vector<Result> results(3, sung(melody, on_sixths_cents));
  std::vector<PracticeTake> takes;
  for (const Result& result : results) takes.push_back({&melody, &result});
  return plan_practice(takes, options);
}

}  // namespace

TEST_CASE("a habit of flat rising sixths is drilled as that, at its commonest place") {
  const Practice practice = planned(-30);
  REQUIRE(practice.faults.size() >= 1);
  const PracticeFault& fault = practice.faults[0];
  CHECK(fault.source == FaultSource::chronic);
  CHECK(fault.row.group == "interval");
  CHECK(fault.row.name == "M6");
  CHECK(pitch_name(fault.target) == "B4");
  CHECK_FALSE(fault.out_of_range);
  std::vector<std::string> names;
  for (const Drill& drill : fault.drills) names.push_back(drill.name);
  CHECK(names ==
        std::vector<std::string>{"hold", "closing-in", "steps", "slow", "other-starts", "phrase-slow", "phrase"});
}

TEST_CASE("every drill is a melody without warnings, in the range sung, in full bars, and names its notes") {
  const Practice practice = planned(-30);
  for (const PracticeFault& fault : practice.faults)
    for (const Drill& drill : fault.drills) {
      CAPTURE(drill.melody);
      const Melody melody = read_melody(drill.melody, drill.name);
      CHECK(melody.warnings.empty());
      REQUIRE(melody.drill);
      CHECK(melody.drill->flat);
      CHECK(melody.drill->name == fault.row.name);
      for (const WrittenNote& note : melody.notes) {
        CHECK(midi_key(note.pitch) >= 62);  // D4, the lowest of the melody
        CHECK(midi_key(note.pitch) <= 74);  // D5, the highest
      }
      // Every other drill ends on a bar line: its last note and rest fill the bar.
      CHECK(drill.melody.ends_with("|\n"));
    }
}

TEST_CASE("drills of an interval hold that interval where they say so") {
  const Practice practice = planned(-30);
  for (const Drill& drill : practice.faults.at(0).drills) {
    if (drill.name == "hold" || drill.name == "closing-in") continue;
    const Melody melody = read_melody(drill.melody, drill.name);
    int sixths = 0;
    for (const int index : melody.drill->notes) {
      const auto way = interval_into(melody, index);
      sixths += way && interval_name(*way) == "M6" && way->direction == Direction::up;
    }
    CAPTURE(drill.melody);
    CHECK(sixths >= 1);
  }
}

TEST_CASE("closing in begins a semitone off on the side that is missed") {
  const auto first_of = [](double cents) {
    const Practice practice = planned(cents);
    for (const Drill& drill : practice.faults.at(0).drills)
      if (drill.name == "closing-in") return read_melody(drill.melody, drill.name).notes[0].pitch;
    return SpelledPitch{};
  };
  CHECK(pitch_name(first_of(-30)) == "B4-100");
  CHECK(pitch_name(first_of(30)) == "B4+100");
}

TEST_CASE("a range given keeps drills inside it and says when it goes beyond what was sung") {
  PracticeOptions narrow;
  narrow.high = SpelledPitch{'A', 0, 4};
  const Practice low = planned(-30, narrow);
  CHECK_FALSE(low.range_widened);
  REQUIRE(!low.faults.empty());
  CHECK(low.faults[0].out_of_range);
  for (const Drill& drill : low.faults[0].drills)
    for (const WrittenNote& note : read_melody(drill.melody, drill.name).notes) CHECK(midi_key(note.pitch) <= 69);
  PracticeOptions wide;
  wide.high = SpelledPitch{'A', 0, 5};
  CHECK(planned(-30, wide).range_widened);
}

TEST_CASE("without a habit the notes furthest off are drilled, and nobody in tune is drilled at all") {
  const Melody melody = read_melody(plan_text, "ferry.melody");
  Result one = sung(melody, 0);
  one.notes[9].errors = {-40, -40, -40};
  one.notes[9].verdict = Verdict::flat;
  const PracticeTake take{&melody, &one};
  const Practice practice = plan_practice({&take, 1}, {});
  REQUIRE(practice.faults.size() == 1);
  CHECK(practice.faults[0].source == FaultSource::furthest);
  CHECK(practice.faults[0].row.name == pitch_name(melody.notes[9].pitch));
  const Result clean = sung(melody, 0);
  const PracticeTake in_tune{&melody, &clean};
  CHECK(plan_practice({&in_tune, 1}, {}).faults.empty());
}

TEST_CASE("a take sung an octave lower is drilled there") {
  const Melody melody = read_melody(plan_text, "ferry.melody");
  Result low = sung(melody, -30);
  low.transposition_semitones = -12;
  std::vector<Result> results(3, low);
  std::vector<PracticeTake> takes;
  for (const Result& result : results) takes.push_back({&melody, &result});
  const Practice practice = plan_practice(takes, {});
  REQUIRE(!practice.faults.empty());
  CHECK(pitch_name(practice.faults[0].target) == "B3");
}
