#include <doctest/doctest.h>

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

constexpr Verdict good = Verdict::in_tune, flat = Verdict::flat, unclear = Verdict::unclear;

}  // namespace

TEST_CASE("a drill is done when five of its notes come in tune in a row") {
  const Melody drill = read_melody(seven_times, "drill");
  const auto progress = [&](const std::vector<Verdict>& verdicts) {
    return *drill_progress(drill, notes_with(verdicts), Reference::concert);
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
  CHECK(some.aim.group == "note");
}

TEST_CASE("a missing note ends a run") {
  const Melody drill = read_melody(seven_times, "drill");
  auto notes = notes_with({good, good, good, good, good, good, good});
  notes[3].verdict.reset();
  CHECK(drill_progress(drill, notes, Reference::concert)->most_in_a_row == 3);
}

TEST_CASE("a drill of few notes is done when all came in tune; another melody is no drill") {
  const Melody two = read_melody("drill: sharp on interval M6 up; notes 2 4\nmeter: 4/4\nD4 B4 D4 B4 |\n", "drill");
  CHECK(drill_progress(two, notes_with({good, good, good, good}), Reference::concert)->done);
  CHECK_FALSE(drill_progress(two, notes_with({good, good, good, flat}), Reference::concert)->done);
  CHECK_FALSE(drill_progress(read_melody("C4 D4\n", "song"), {}, Reference::own));
}
