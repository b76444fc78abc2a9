#include <doctest/doctest.h>

#include "firmus/grading.hpp"
#include "made_take.hpp"
#include "report/mark_words.hpp"

using namespace firmus;
using namespace firmus::testing;
using doctest::Approx;

TEST_CASE("each judged note gets the points of its band, its standard error taken off") {
  const MarkBreakdown made =
      mark_breakdown(take_of({sung_note(0, 3, Verdict::in_tune), sung_note(1, -26, Verdict::in_tune, 1.0),
                              sung_note(2, 26.1, Verdict::sharp, 1.0), sung_note(3, -51, Verdict::flat, 1.0),
                              sung_note(4, 60, Verdict::sharp, 1.0)}),
                     Rubric{});
  CHECK(made.in_band == std::vector<int>{2, 2});
  CHECK((made.beyond == 1 && made.judged == 5 && made.written == 5));
  CHECK(made.points == Approx(3));  // 2 x 1 + 2 x 0.5
  CHECK(made.possible == Approx(5));
  CHECK(*made.percent == Approx(60));
}

TEST_CASE("the mark is against the reference of the take") {
  Result take = take_of({sung_note(0, 22, Verdict::in_tune)});
  CHECK(mark_breakdown(take, Rubric{}).points == Approx(1));
  take.settings.reference = Reference::concert;  // 5 cents more
  CHECK(mark_breakdown(take, Rubric{}).points == Approx(0.5));
  take.settings.reference = Reference::interval;  // the first note has none
  CHECK(mark_breakdown(take, Rubric{}).points == Approx(1));
}

TEST_CASE("what could not be told, grace notes and notes that may be left out cost nothing") {
  NoteResult grace = sung_note(1, 80, Verdict::sharp);
  grace.written_beats = 0.0;
  grace.verdict.reset();
  const MarkBreakdown made =
      mark_breakdown(take_of({sung_note(0, 0, Verdict::in_tune), grace, sung_note(2, 90, Verdict::unclear),
                              written_note(3, NoteStatus::optional_left_out), sung_note(4, 1, Verdict::in_tune)}),
                     Rubric{});
  CHECK((made.written == 3 && made.judged == 2 && made.unclear == 1 && made.missing == 0));
  CHECK(*made.percent == Approx(100));
  CHECK(made.most_in_a_row == 2);  // neither ends a run
}

TEST_CASE("a note that may be left out is in no count, however it was sung") {
  NoteResult maybe = sung_note(1, 60, Verdict::sharp);
  maybe.may_be_left_out = true;
  const MarkBreakdown made =
      mark_breakdown(take_of({sung_note(0, 0, Verdict::in_tune), maybe, sung_note(2, 0, Verdict::in_tune)}), Rubric{});
  CHECK((made.written == 2 && made.judged == 2 && made.beyond == 0 && made.most_in_a_row == 2));
  CHECK(*made.percent == Approx(100));
}

TEST_CASE("missing notes, other notes and extras cost what the rubric says") {
  Rubric rubric;
  rubric.missing = -0.5;
  rubric.other_note = -1;
  rubric.extra = -0.25;
  const Result take = take_of({sung_note(0, 0, Verdict::in_tune), extra_note(0.5, 0.2), written_note(1),
                               sung_note(2, 150, Verdict::other_note), sung_note(3, 0, Verdict::in_tune)});
  const MarkBreakdown made = mark_breakdown(take, rubric);
  CHECK((made.missing == 1 && made.other_note == 1 && made.extra == 1));
  CHECK(made.points == Approx(2 - 0.5 - 1 - 0.25));
  CHECK(made.possible == Approx(4));
  CHECK(*mark_breakdown(take, Rubric{}).percent == Approx(50));
  rubric.missing = -1000;
  CHECK(*mark_breakdown(take, rubric).percent == 0);  // never below
}

TEST_CASE("extras under 120 ms and notes before the first or after the last written note never cost") {
  Rubric rubric;
  rubric.extra = -1;
  NoteResult restart = extra_note(1.2, 0.5);
  restart.status = NoteStatus::restart;
  const Result take = take_of({extra_note(-0.5, 0.4), sung_note(0, 0, Verdict::in_tune), extra_note(0.5, 0.119),
                               restart, sung_note(2, 0, Verdict::in_tune), extra_note(2.5, 1.0)});
  CHECK(mark_breakdown(take, rubric).extra == 0);
  CHECK(*mark_breakdown(take, rubric).percent == Approx(100));
}

TEST_CASE("an extra of exactly 120 ms costs, wherever it begins") {
  Rubric rubric;
  rubric.extra = -1;
  for (const auto& [onset_s, end_s] : {std::pair(0.580, 0.700), std::pair(1.100, 1.220), std::pair(1.280, 1.400)}) {
    NoteResult extra = extra_note(onset_s, 0);
    extra.end_s = end_s;
    const Result take = take_of({sung_note(0, 0, Verdict::in_tune), extra, sung_note(2, 0, Verdict::in_tune)});
    CHECK(mark_breakdown(take, rubric).extra == 1);
  }
}

namespace {

/// Two phrases of six notes each, the second one `cents` higher than the first.
Result two_phrases(double cents) {
  std::vector<NoteResult> notes;
  for (int i = 0; i < 12; ++i) {
    notes.push_back(sung_note(i, i < 6 ? 2 : 2 + cents, i < 6 || cents < 25 ? Verdict::in_tune : Verdict::sharp));
    notes.back().phrase = i < 6 ? 1 : 2;
  }
  Result take = take_of(std::move(notes));
  take.key_segments = {{0, 11, 0, 0, 2, {}, {}, false}};
  return take;
}

}  // namespace

TEST_CASE("a take whose mark depends on whether its key changed is for the teacher to hear") {
  Result changed = two_phrases(0);  // heard as a semitone higher from bar 7 on, and in tune there
  changed.key_segments = {{0, 5, 0, 0, 2, {}, {}, false}, {6, 11, 1, 4, 2, {}, {}, false}};
  const TakeGrade grade = grade_take(changed, Rubric{});
  CHECK(grade.status == GradeStatus::needs_a_listen);
  REQUIRE(grade.no_mark);
  CHECK(report::why_words(grade.no_mark) ==
        "the mark depends on the key: 100.0 % if it changed at bar 7, 50.0 % if it did not");
  changed.key_segments[1].transposition_semitones = 12;  // an octave is no other key
  CHECK(grade_take(changed, Rubric{}).status == GradeStatus::marked);
  changed.key_segments[1] = {6, 11, 0, 15, 2, {}, {}, false};  // 15 cents: within the tolerance either way
  CHECK(grade_take(changed, Rubric{}).status == GradeStatus::marked);

  CHECK(report::why_words(grade_take(two_phrases(90), Rubric{}).no_mark) ==
        "the mark depends on the key: 100.0 % if it changed at bar 7, 50.0 % if it did not");
  CHECK(grade_take(two_phrases(30), Rubric{}).status == GradeStatus::marked);  // flat is flat, not another key
  Result by_interval = two_phrases(90);
  by_interval.settings.reference = Reference::interval;
  CHECK(grade_take(by_interval, Rubric{}).status == GradeStatus::marked);
}

TEST_CASE("the most in a row is ended by a note off, another note or a missing one") {
  const auto run = [](std::vector<NoteResult> notes) {
    return mark_breakdown(take_of(std::move(notes)), Rubric{}).most_in_a_row;
  };
  const auto good = [](int i) { return sung_note(i, 0, Verdict::in_tune); };
  CHECK(run({good(0), good(1), good(2)}) == 3);
  CHECK(run({good(0), sung_note(1, 40, Verdict::sharp), good(2), good(3)}) == 2);
  CHECK(run({good(0), written_note(1), good(2)}) == 1);
  CHECK(run({good(0), sung_note(1, 150, Verdict::other_note), good(2)}) == 1);
  CHECK(run({}) == 0);
}

TEST_CASE("points of the teacher stand over whatever was heard") {
  const Result take = take_of({sung_note(0, 60, Verdict::sharp), sung_note(1, 70, Verdict::unclear), written_note(2),
                               sung_note(3, 0, Verdict::in_tune)});
  CHECK(*mark_breakdown(take, Rubric{}).percent == Approx(100.0 / 3));
  const std::vector<TeacherPoints> teacher{{0, 1}, {1, 0.5}, {2, 1}};
  const MarkBreakdown made = mark_breakdown(take, Rubric{}, teacher);
  CHECK(made.points == Approx(3.5));
  CHECK(made.possible == Approx(4));
}

TEST_CASE("a take that may not be the melody, or of which too little could be judged, gets no mark and says why") {
  Result take = take_of({sung_note(0, 0, Verdict::in_tune), sung_note(1, 0, Verdict::in_tune)});
  CHECK(grade_take(take, Rubric{}).status == GradeStatus::marked);
  take.decision = AlignmentDecision::listen;
  take.alignment_confidence = 0.314;
  CHECK(grade_take(take, Rubric{}).status == GradeStatus::needs_a_listen);
  CHECK(report::why_words(grade_take(take, Rubric{}).no_mark) ==
        "it may not be this piece (31 % of the intervals match)");
  take.decision = AlignmentDecision::not_this_melody;
  CHECK(grade_take(take, Rubric{}).status == GradeStatus::needs_a_listen);
  CHECK(!grade_take(take, Rubric{}).full);
  const Result few = take_of({sung_note(0, 0, Verdict::in_tune), written_note(1), written_note(2)});
  CHECK(report::why_words(grade_take(few, Rubric{}).no_mark) == "only 1 of 3 notes could be judged");
  Rubric lenient;
  lenient.least_judged_share = 0.3;
  CHECK(grade_take(few, lenient).status == GradeStatus::marked);
  Result silent;
  silent.error = NotMeasured{"silence", "no pitched sound was found", "record again"};
  CHECK(grade_take(silent, Rubric{}).status == GradeStatus::not_measured);
  CHECK(report::why_words(grade_take(silent, Rubric{}).no_mark) == "no pitched sound was found");
}
