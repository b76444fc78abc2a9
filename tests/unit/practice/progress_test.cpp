#include <doctest/doctest.h>

#include <string>

#include "firmus/practice.hpp"

using namespace firmus;

namespace {

const char* const seven_times =
    "meter: 4/4\ndrill: flat on note B4; notes 1 2 3 4 5 6 7\nB4 B4 B4 B4 | B4 B4 B4 rest |\n";

std::vector<NoteResult> notes_with(const std::vector<Verdict>& verdicts) {
  std::vector<NoteResult> notes;
  for (std::size_t i = 0; i < verdicts.size(); ++i) {
    NoteResult note;
    note.index = static_cast<int>(i);
    note.verdict = verdicts[i];
    note.errors.concert_cents = verdicts[i] == Verdict::flat ? -40 : -8;
    note.errors.own_cents = 0;
    notes.push_back(note);
  }
  return notes;
}

const Settings by_concert{Reference::concert, Cents(25), Hertz(440), "equal"};
constexpr Verdict good = Verdict::in_tune, flat = Verdict::flat, unclear = Verdict::unclear;

}  // namespace

TEST_CASE("a drill is done when five of its notes come in tune in a row") {
  const Melody drill = read_melody(seven_times, "drill");
  const auto progress = [&](const std::vector<Verdict>& verdicts) {
    return *drill_progress(drill, notes_with(verdicts), by_concert);
  };
  CHECK(progress({flat, flat, good, good, good, good, good}).done);
  CHECK(progress({good, good, unclear, good, good, good, flat}).done);
  CHECK_FALSE(progress({good, good, good, good, flat, good, good}).done);
  const DrillProgress some = progress({good, good, good, good, flat, good, unclear});
  CHECK(some.notes == 7);
  CHECK(some.judged == 6);
  CHECK(some.in_tune == 5);
  CHECK(some.most_in_a_row == 4);
  CHECK(*some.mean_cents == doctest::Approx((5 * -8 - 40) / 6.0));
  CHECK(*some.within_cents == 25);
  CHECK(some.aim.group == "note");
}

TEST_CASE("a missing note ends a run") {
  const Melody drill = read_melody(seven_times, "drill");
  auto notes = notes_with({good, good, good, good, good, good, good});
  notes[3].verdict.reset();
  CHECK(drill_progress(drill, notes, by_concert)->most_in_a_row == 3);
}

TEST_CASE("a drill of few notes is done when all came in tune; another melody is no drill") {
  const Melody two = read_melody("drill: sharp on interval M6 up; notes 2 4\nmeter: 4/4\nD4 B4 D4 B4 |\n", "drill");
  CHECK(drill_progress(two, notes_with({good, good, good, good}), by_concert)->done);
  CHECK_FALSE(drill_progress(two, notes_with({good, good, good, flat}), by_concert)->done);
  CHECK_FALSE(drill_progress(read_melody("C4 D4\n", "song"), {}, {}));
}

TEST_CASE("a drill that states the size of its fault asks for half of it, at least 10 cents, at most the tolerance") {
  const auto limit = [](const char* size) {
    const Melody drill = read_melody(std::string("drill: flat ") + size + " on note B4; notes 1\nB4\n", "drill");
    return drill_limit(*drill.drill, Cents(25)).value();
  };
  CHECK(limit("by 31") == 15.5);
  CHECK(limit("by 12") == 10);
  CHECK(limit("by 90") == 25);
  CHECK(limit("") == 25);
}

TEST_CASE("five in a row whose mean is more than 10 cents off do not make a drill done") {
  const Melody drill = read_melody(seven_times, "drill");
  auto notes = notes_with(std::vector<Verdict>(7, good));
  for (NoteResult& note : notes) note.errors.concert_cents = -23;  // within the tolerance
  const DrillProgress off = *drill_progress(drill, notes, by_concert);
  CHECK(off.most_in_a_row == 7);
  CHECK_FALSE(off.done);
  for (std::size_t i = 0; i < 7; i += 2) notes[i].errors.concert_cents = 23;  // a mean of 0, or of 4.6
  CHECK(drill_progress(drill, notes, by_concert)->done);
}

TEST_CASE("the notes aimed at are held against the others, not against the centre that they pull along") {
  const Melody drill = read_melody(
      "drill: flat by 40 on note B4; notes 2 4 6 8 10\nmeter: 4/4\nD4 B4 D4 B4 | D4 B4 D4 B4 | D4 B4 D4:2 |\n",
      "drill");
  // All 30 cents sharp of the track, and B4 as much below the rest as `fault` says.
  const auto progress = [&](double fault) {
    auto notes = notes_with(std::vector<Verdict>(11, good));
    for (NoteResult& note : notes) {
      const double cents = *note.index % 2 == 1 ? fault : 0;
      note.errors.concert_cents = 30 + cents;
      note.errors.own_cents = cents - fault / 2;  // the centre lies between
    }
    return *drill_progress(drill, notes, {});
  };
  CHECK(progress(0).done);
  CHECK(*progress(-30).mean_cents == doctest::Approx(-30));
  CHECK_FALSE(progress(-30).done);
  CHECK_FALSE(progress(30).done);
}
