#include <doctest/doctest.h>

#include "firmus/grading.hpp"
#include "firmus/report.hpp"
#include "made_take.hpp"
#include "report/mark_words.hpp"

using namespace firmus;
using namespace firmus::testing;
using doctest::Approx;

namespace {

/// Ten notes, `good` of them in tune, the rest too far off for points: a mark of 10 x good percent.
Result take_with(int good, double matched_share = 1) {
  std::vector<NoteResult> notes;
  for (int i = 0; i < 10; ++i)
    notes.push_back(i < good ? sung_note(i, 0, Verdict::in_tune) : sung_note(i, 70, Verdict::sharp));
  Result result = take_of(std::move(notes));
  result.matched_share = matched_share;
  return result;
}

Result unreadable() {
  Result result;
  result.error = NotMeasured{"empty", "the file is empty (0 bytes)", "hand it in again"};
  return result;
}

GradingRules rules_for(std::vector<std::string> ids, TriesRule attempts = TriesRule::last_full) {
  GradingRules rules;
  for (std::string& id : ids) {
    rules.pieces.emplace_back();
    rules.pieces.back().id = std::move(id);
  }
  rules.attempts = attempts;
  return rules;
}

StudentTakes takes_of(std::vector<std::vector<Result>> pieces) {
  StudentTakes takes{"ana", {}};
  for (auto& piece : pieces) {
    takes.takes.emplace_back();
    for (Result& result : piece)
      takes.takes.back().push_back({"ana." + std::to_string(takes.takes.back().size()), std::move(result)});
  }
  return takes;
}

std::optional<double> mark_by(TriesRule attempts, std::vector<Result> takes) {
  return grade_student(takes_of({std::move(takes)}), rules_for({"kite"}, attempts)).mark_percent;
}

}  // namespace

TEST_CASE("which of several takes counts is the rule's") {
  const auto three = [] { return std::vector{take_with(9), take_with(5), take_with(7, 0.5)}; };
  CHECK(*mark_by(TriesRule::last_full, three()) == Approx(50));  // the third holds half of the notes
  CHECK(*mark_by(TriesRule::best, three()) == Approx(90));
  CHECK(*mark_by(TriesRule::mean, three()) == Approx(70));
  CHECK(*mark_by(TriesRule::last_full, {take_with(9, 0.5), take_with(4, 0.7)}) == Approx(40));
  CHECK(*mark_by(TriesRule::last_full, {take_with(9), unreadable()}) == Approx(90));
  CHECK(*mark_by(TriesRule::best, {unreadable(), take_with(3)}) == Approx(30));
}

TEST_CASE("a drill is done when a marked take that counts is; of several the last tells how far off") {
  const auto drilled = [](Result result, bool done, double cents) {
    result.drill.emplace();
    result.drill->done = done;
    result.drill->mean_cents = cents;
    return result;
  };
  const auto told = [&](TriesRule attempts, std::vector<Result> takes) -> std::pair<bool, double> {
    const auto drill = grade_student(takes_of({std::move(takes)}), rules_for({"hold"}, attempts)).pieces[0].drill;
    return drill ? std::pair(drill->done, drill->mean_cents.value_or(0)) : std::pair(false, 0.0);
  };
  using Told = std::pair<bool, double>;
  const Result early = drilled(take_with(9), true, -5), late = drilled(take_with(5), false, -30);
  CHECK(told(TriesRule::last_full, {early, late}) == Told{false, -30});
  CHECK(told(TriesRule::best, {early, late}) == Told{true, -5});
  CHECK(told(TriesRule::mean, {early, late}) == Told{true, -5});
  CHECK(told(TriesRule::mean, {early, drilled(take_with(8), true, -8), late}) == Told{true, -8});
  Result doubtful = early;
  doubtful.decision = AlignmentDecision::listen;
  CHECK(told(TriesRule::last_full, {doubtful}) == Told{false, 0});
  CHECK(told(TriesRule::last_full, {unreadable()}) == Told{false, 0});
  CHECK(told(TriesRule::last_full, {take_with(9)}) == Told{false, 0});
}

TEST_CASE("a student's state is what is still to be settled") {
  const GradingRules rules = rules_for({"kite", "mill"});
  const auto status = [&](std::vector<std::vector<Result>> takes) {
    return to_string(grade_student(takes_of(std::move(takes)), rules).status);
  };
  Result doubtful = take_with(9);
  doubtful.decision = AlignmentDecision::listen;
  CHECK(status({{take_with(9)}, {take_with(8)}}) == "marked");
  CHECK(status({{take_with(9)}, {}}) == "marked");
  CHECK(status({{}, {}}) == "not handed in");
  CHECK(status({{take_with(9)}, {unreadable()}}) == "could not be measured");
  CHECK(status({{unreadable()}, {doubtful}}) == "needs a listen");
  const StudentGrade grade = grade_student(takes_of({{take_with(9)}, {doubtful}}), rules);
  CHECK(!grade.mark_percent);  // no mark while something handed in has none
  CHECK(grade.unsettled == 1);
  CHECK(report::why_words(grade).rfind("mill: it may not be this piece", 0) == 0);
  CHECK(grade.pieces_marked == 1);
}

TEST_CASE("marks of several pieces weigh as the assignment says") {
  GradingRules rules = rules_for({"kite", "mill"});
  rules.pieces[1].weight = 3;
  rules.rubric.pass_percent = 60;
  const StudentGrade grade = grade_student(takes_of({{take_with(10)}, {take_with(5)}}), rules);
  CHECK(*grade.mark_percent == Approx(62.5));  // (100 + 3 x 50) / 4
  CHECK(grade.passed == true);
  CHECK((grade.points == Approx(15) && grade.possible == Approx(20) && grade.most_in_a_row == 10));
  CHECK(*grade_student(takes_of({{}, {take_with(5)}}), rules).mark_percent == Approx(50));
  CHECK(grade_student(takes_of({{}, {take_with(5)}}), rules).passed == false);
}

TEST_CASE("the teacher's marks stand beside the program's and over them") {
  GradingRules rules = rules_for({"kite", "mill"});
  rules.overrides = {
      {"ana", "kite", std::nullopt, 95, "meant so"}, {"ana", "mill", 9, 1, ""}, {"ben", "mill", 0, 0, ""}};
  const StudentGrade grade = grade_student(takes_of({{take_with(5)}, {take_with(9)}}), rules);
  CHECK(*grade.mark_percent == Approx(70));
  CHECK(*grade.teacher_percent == Approx(97.5));  // (95 + 100) / 2
  CHECK(*grade.pieces[0].mark_percent == Approx(50));
  CHECK(grade.pieces[0].teacher_reasons == std::vector<std::string>{"meant so"});
  Result doubtful = take_with(9);
  doubtful.decision = AlignmentDecision::listen;
  const StudentGrade settled = grade_student(takes_of({{doubtful}, {}}), rules);
  CHECK(settled.status == GradeStatus::marked);
  CHECK(*settled.final_percent() == Approx(95));
  CHECK(!settled.mark_percent);
}

TEST_CASE("standings share a place, and only marked students have one") {
  std::vector<StudentGrade> students(4);
  const double points[] = {7, 9, 7, 8};
  for (std::size_t i = 0; i < 4; ++i) {
    students[i].points = points[i];
    students[i].possible = 10;
    students[i].status = i == 3 ? GradeStatus::needs_a_listen : GradeStatus::marked;
  }
  give_standings(students);
  CHECK(students[0].standing == 2);
  CHECK(students[1].standing == 1);
  CHECK(students[2].standing == 2);
  CHECK(!students[3].standing);
  students[1].possible = 0;  // a mark by the teacher alone: nothing to count points of
  students[2].points = 0.7 + 0.1;
  students[0].points = 0.8;  // 0.7 + 0.1 is another double
  for (StudentGrade& one : students) one.standing.reset();
  give_standings(students);
  CHECK(students[0].standing == 1);
  CHECK(!students[1].standing);
  CHECK(students[2].standing == 1);
}

TEST_CASE("in a round more takes win no more points, and the teacher's points and marks count") {
  GradingRules rules = rules_for({"kite", "mill"});
  rules.attempts = TriesRule::mean;
  const StudentGrade twice = grade_student(takes_of({{take_with(10), take_with(5)}, {}}), rules);
  CHECK((twice.points == Approx(7.5) && twice.possible == Approx(10)));
  CHECK(twice.most_in_a_row == 10);
  rules.overrides = {{"ana", "kite", std::nullopt, 95, "meant so"}, {"ana", "mill", 9, 1, ""}};
  const StudentGrade told = grade_student(takes_of({{take_with(5)}, {take_with(9)}}), rules);
  CHECK((told.points == Approx(9.5 + 10) && told.possible == Approx(20)));
  Result doubtful = take_with(9);
  doubtful.decision = AlignmentDecision::listen;
  const StudentGrade settled = grade_student(takes_of({{doubtful}, {}}), rules);
  CHECK(settled.points == Approx(9.5));
  const StudentGrade unsettled = grade_student(takes_of({{}, {doubtful}}), rules_for({"kite", "mill"}));
  CHECK((unsettled.points == 0 && unsettled.possible == 0));
}

TEST_CASE("tables have a row a student, quoted where needed and safe in a spreadsheet") {
  Gradebook book;
  book.pieces = {{"kite", "Kite", 1}};
  StudentTakes takes = takes_of({{take_with(9)}});
  takes.student = "=ana, b";
  book.students = {grade_student(takes, rules_for({"kite"})), StudentGrade{}};
  book.students[1].student = "ben";
  book.students[1].pieces.emplace_back();
  book.students[1].pieces[0].piece = "kite";
  CHECK(gradebook_csv(book) ==
        "student,status,why,mark_percent,teacher_percent,final_percent,passed,teacher_reason,pieces,pieces_marked,"
        "points,possible,most_in_a_row\r\n"
        "\"'=ana, b\",marked,,90.0,,90.0,,,1,1,9,10,9\r\n"
        "ben,not handed in,,,,,,,1,0,0,0,0\r\n");
  CHECK(marks_csv(book) ==
        "student,piece,take,counts,status,why,written,judged,within_25_cents,within_50_cents,beyond,other_note,missing,"
        "extra,unclear,points,possible,most_in_a_row,mark_percent,teacher_percent,teacher_reason\r\n"
        "\"'=ana, b\",kite,ana.0,yes,marked,,10,10,9,0,1,0,0,0,0,9,10,9,90.0,,\r\n"
        "ben,kite,,,not handed in,,0,0,0,0,0,0,0,0,0,0,0,0,,,\r\n");
  CHECK(failures_csv(book) == "student,piece,take,status,why,advice\r\n");
}
