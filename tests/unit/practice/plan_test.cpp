#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>

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

TEST_CASE("nothing is drilled for a note that was off once, nor for a student in tune") {
  const Melody melody = read_melody(plan_text, "ferry.melody");
  Result one = sung(melody, 0);
  one.notes[9].errors = {-40, -40, -40};
  one.notes[9].verdict = Verdict::flat;
  const PracticeTake take{&melody, &one};
  CHECK(plan_practice({&take, 1}, {}).faults.empty());
  const Result clean = sung(melody, 0);
  const PracticeTake in_tune{&melody, &clean};
  CHECK(plan_practice({&in_tune, 1}, {}).faults.empty());
}

TEST_CASE("a fault that the newest take no longer shows is not drilled; one that has come is") {
  const Melody melody = read_melody(plan_text, "ferry.melody");
  const auto practice_of = [&](const std::vector<double>& cents) {
    std::vector<Result> results;
    for (std::size_t i = 0; i < cents.size(); ++i) {
      results.push_back(sung(melody, cents[i]));
      results.back().context.date = "2031-05-0" + std::to_string(i + 1);
    }
    std::vector<PracticeTake> takes;
    for (const Result& result : results) takes.insert(takes.begin(), {&melody, &result});  // in any order
    return plan_practice(takes, {});
  };
  CHECK(practice_of({-40, -40, -40, -40}).faults.size() == 1);
  CHECK(practice_of({-40, -40, -40, 0}).faults.empty());
  CHECK(practice_of({-40, -40, -40, 0, 0, 0}).faults.empty());
  CHECK(practice_of({0, 0, 0, 0, -40, -40, -40}).faults.size() == 1);
}

TEST_CASE("no drill goes from the end of a phrase to the next one, and phrases come three times over in full bars") {
  // The sixth is reached twice from within a phrase (E4 C#5) and three times across a phrase end (D4, B4).
  const char* across =
      "title: Breath\nkey: D major\nmeter: 3/4\n"
      "F#4 G4 D4 , | B4 E4 C#5 | A4 G4 D4 , | B4 E4 C#5 | A4 F#4 D4 , | B4 G4 F#4 |\n";
  const Melody melody = read_melody(across, "breath.melody");
  std::vector<Result> results(3, sung(melody, -35));
  std::vector<PracticeTake> takes;
  for (const Result& result : results) takes.push_back({&melody, &result});
  const Practice practice = plan_practice(takes, {});
  REQUIRE(!practice.faults.empty());
  CHECK(pitch_name(practice.faults[0].target) == "C#5");
  bool phrase_seen = false;
  for (const Drill& drill : practice.faults[0].drills) {
    CAPTURE(drill.melody);
    const Melody made = read_melody(drill.melody, drill.name);
    CHECK(made.warnings.empty());
    CHECK(drill.melody.ends_with("|\n"));
    if (drill.name == "steps" || drill.name == "slow") CHECK(pitch_name(made.notes[0].pitch) == "E4");
    if (drill.name == "phrase" || drill.name == "phrase-slow")
      for (const int index : made.drill->notes) CHECK(pitch_name(made.note(index).pitch) == "C#5");
    if (drill.name != "phrase") continue;
    phrase_seen = true;
    CHECK(made.notes.size() % 3 == 0);
    for (std::size_t i = 0; i < made.notes.size() / 3; ++i) {
      CHECK(made.notes[i].pitch == made.notes[i + made.notes.size() / 3].pitch);
      CHECK(made.notes[i].beat ==
            made.notes[i + made.notes.size() / 3].beat);  // each time from the same place in a bar
    }
  }
  CHECK(phrase_seen);
}

TEST_CASE("a leading note is practised against tonic and triad, resolves, and comes in three keys") {
  const char* leading =
      "title: Lead\nkey: D major\nmeter: 4/4\n"
      "D4 E4 C#4 D4 | G4 F#4 E4 D4 | E4 C#4 D4 A4 | B4 A4 G4 F#4 | E4 D4 C#4 D4 | F#4 E4 C#4 D4 |\n";
  const Melody melody = read_melody(leading, "lead.melody");
  std::vector<Result> results(3, sung(melody, 0));
  for (Result& result : results)
    for (NoteResult& note : result.notes)
      if (note.written == "C#4") {
        note.errors = {-35, -35, -35};
        note.verdict = Verdict::flat;
      }
  std::vector<PracticeTake> takes;
  for (const Result& result : results) takes.push_back({&melody, &result});
  PracticeOptions room;
  room.low = SpelledPitch{'A', 0, 3};
  room.high = SpelledPitch{'D', 0, 5};
  const Practice practice = plan_practice(takes, room);
  REQUIRE(!practice.faults.empty());
  std::set<std::string> resolutions;
  bool triad = false;
  for (const Drill& drill : practice.faults[0].drills) {
    if (drill.name != "tonic" && drill.name != "keys") continue;
    const Melody made = read_melody(drill.melody, drill.name);
    for (const int index : made.drill->notes) {
      REQUIRE(index + 1 < static_cast<int>(made.notes.size()));
      const SpelledPitch target = made.note(index).pitch, next = made.note(index + 1).pitch;
      CHECK(midi_key(next) - midi_key(target) == 1);
      resolutions.insert(pitch_name(target) + " " + pitch_name(next));
      triad = triad || (index >= 3 && pitch_name(made.note(index - 1).pitch) == "A4" &&
                        pitch_name(made.note(index - 2).pitch) == "F#4");
    }
  }
  CHECK(triad);
  CHECK(resolutions.contains("C#4 D4"));
  CHECK(resolutions.size() == 3);
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
