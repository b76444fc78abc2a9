// The pages of an assignment: a student's and the class's.
#include <doctest/doctest.h>

#include "drawn.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "made_result.hpp"
#include "page_check.hpp"
#include "report/mark_words.hpp"

using namespace firmus;

namespace {

MarkBreakdown thirty_notes() {
  MarkBreakdown made;
  made.written = 30;
  made.judged = 29;
  made.in_band = {24, 3};
  made.beyond = 2;
  made.missing = 1;
  made.points = 25.5;
  made.possible = 30;
  made.percent = 85;
  return made;
}

StudentGrade marked(const std::string& student, double percent) {
  StudentGrade grade;
  grade.student = student;
  grade.status = GradeStatus::marked;
  grade.mark_percent = percent;
  grade.points = 25.5;
  grade.possible = 30;
  grade.most_in_a_row = 12;
  PieceGrade piece;
  piece.piece = "kite";
  piece.status = GradeStatus::marked;
  piece.made = thirty_notes();
  piece.mark_percent = percent;
  TakeGrade take;
  take.status = GradeStatus::marked;
  take.counts = take.full = true;
  piece.takes = {take};
  grade.pieces = {piece};
  return grade;
}

StudentGrade unmarked(const std::string& student, GradeStatus status, const std::string& why) {
  StudentGrade grade;
  grade.student = student;
  grade.status = status;
  if (status != GradeStatus::not_handed_in) grade.unsettled = 0;
  PieceGrade piece;
  piece.piece = "kite";
  piece.status = status;
  if (status != GradeStatus::not_handed_in) {
    TakeGrade take;
    take.status = status;
    take.no_mark = NoMark{};
    take.no_mark->detail = why;
    take.no_mark->advice = "listen to it";
    piece.no_mark = take.no_mark;
    piece.takes = {take};
  }
  grade.pieces = {piece};
  return grade;
}

Gradebook a_book() {
  Gradebook book;
  book.title = "Week 3: <Kites> & others";
  book.date = "2031-05-17";
  book.pieces = {{"kite", "Kite Over the Ridge", 1}};
  book.students = {marked("s-01", 85), marked("s 02#", 70),
                   unmarked("s-03", GradeStatus::needs_a_listen, "it may not be this piece"),
                   unmarked("s-04", GradeStatus::not_measured, "no pitched sound was found"),
                   unmarked("s-05", GradeStatus::not_handed_in, "")};
  return book;
}

struct StudentCase {
  Gradebook book = a_book();
  Result result = made::song_of(30);
  StudentReport report;
  StudentCase() {
    report.book = &book;
    report.grade = &book.students[0];
    report.strength = "You sang 12 notes in tune in a row.";
    report.work_on = {"Your rising major sixths are too low.", "Listen before you begin."};
    ReportedTake take{"kite", "Kite Over the Ridge", &book.students[0].pieces[0].takes[0], &result,
                      take_picture(result)};
    report.takes = {take};
  }
};

std::string page_text(const std::string& html) {
  std::string text;
  const auto page = drawn::parsed(html);
  for (const auto& found : page.select_nodes("//body//text()[not(ancestor::svg or ancestor::script)]"))
    text += std::string(found.node().value()) + " ";
  return text;
}

void check_order(const std::string& text, const std::vector<std::string>& words) {
  std::size_t at = 0;
  for (const std::string& word : words) {
    CAPTURE(word);
    const std::size_t next = text.find(word, at);
    REQUIRE(next != std::string::npos);
    at = next;
  }
}

}  // namespace

TEST_CASE("a student's page opens with a strength, then what to work on, the picture, and the mark last") {
  const StudentCase fixture;
  const std::string html = student_page(fixture.report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  check_order(html, {"What went well", "You sang 12 notes in tune in a row.", "What to work on",
                     "rising major sixths are too low", "Listen before you begin.", "Your pitch", "Kite Over the Ridge",
                     "<svg", "Your mark", "85.0 %", "style, blue notes, leading notes and vibrato"});
  check_order(page_text(html),
              {"25.5 of 30 points: 24 notes within 25 cents, 3 notes within 50 cents, 2 out of tune, 1 not heard",
               "1 point for a note within 25 cents, 0.5 points for a note within 50 cents"});
}

TEST_CASE("a student's page holds nothing about other students") {
  const StudentCase fixture;
  const std::string html = student_page(fixture.report);
  for (const char* other : {"s 02#", "s-03", "s-04", "s-05", "70.0 %"}) CHECK(html.find(other) == std::string::npos);
}

TEST_CASE("the teacher's mark comes before the program's, with its reason") {
  StudentCase fixture;
  fixture.book.students[0].teacher_percent = 92;
  fixture.book.students[0].pieces[0].teacher_percent = 92;
  fixture.book.students[0].pieces[0].teacher_reasons = {"sang with a cold"};
  const std::string text = page_text(student_page(fixture.report));
  check_order(
      text, {"Your mark", "92.0 %", "85.0 %", "your teacher's mark is 92.0 %", "Your teacher says: sang with a cold"});
}

TEST_CASE("a round tells a student points and the most in a row, and no place") {
  StudentCase fixture;
  CHECK(page_text(student_page(fixture.report)).find("in a row: 12") == std::string::npos);
  fixture.book.rubric.round_points = true;
  fixture.book.students[0].standing = 2;
  check_order(page_text(student_page(fixture.report)), {"Points: 25.5 of 30. Most notes in tune in a row: 12."});
  CHECK(page_text(student_page(fixture.report)).find("place") == std::string::npos);
  fixture.book.rubric.round_standings = true;  // a place tells of the others, too: on the class page alone
  CHECK(page_text(student_page(fixture.report)).find("place") == std::string::npos);
}

TEST_CASE("the class page has the order of the class only when asked for, by place, equal points together") {
  StudentCase fixture;
  fixture.book.rubric.round_points = true;
  ClassReport report;
  report.book = &fixture.book;
  const int places[] = {2, 1, 2};
  for (std::size_t i = 0; i < 3; ++i) {
    fixture.book.students.at(i).standing = places[i];
    fixture.book.students[i].points = i == 1 ? 28 : 25.5;
    fixture.book.students[i].possible = 30;
  }
  CHECK(page_text(class_page(report)).find("The round") == std::string::npos);
  fixture.book.rubric.round_standings = true;
  const std::string html = class_page(report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  const auto& students = fixture.book.students;
  check_order(page_text(html).substr(page_text(html).find("The round")),
              {"equal points share a place", "1", students[1].student.c_str(), "28 of 30", "2",
               students[0].student.c_str(), "25.5 of 30", "2", students[2].student.c_str()});
}

TEST_CASE("the page says whether the student passed or has not passed yet") {
  StudentCase fixture;
  CHECK(page_text(student_page(fixture.report)).find("assed") == std::string::npos);
  fixture.book.students[0].passed = true;
  check_order(page_text(student_page(fixture.report)), {"Your mark", "Passed."});
  fixture.book.students[0].passed = false;
  check_order(page_text(student_page(fixture.report)), {"Your mark", "Not passed yet."});
}

TEST_CASE("an assignment without a title bears its piece's") {
  StudentCase fixture;
  fixture.book.title.clear();
  CHECK(student_page(fixture.report).find("<h1>Kite Over the Ridge</h1>") != std::string::npos);
  ClassReport report;
  report.book = &fixture.book;
  CHECK(class_page(report).find("<h1>The class: Kite Over the Ridge</h1>") != std::string::npos);
}

namespace {
/// A page and a text of a student whose only piece has no mark by the program, for this reason.
std::string sheet_without_a_mark(NoMark no_mark, std::optional<double> teacher = {},
                                 AlignmentDecision decision = AlignmentDecision::sure) {
  StudentCase fixture;
  fixture.result.decision = decision;
  fixture.report.strength.clear();
  fixture.report.work_on.clear();
  StudentGrade& grade = fixture.book.students[2];
  PieceGrade& piece = grade.pieces[0];
  piece.takes[0].counts = true;
  piece.takes[0].no_mark = piece.no_mark = std::move(no_mark);
  piece.teacher_percent = grade.teacher_percent = teacher;
  if (teacher) piece.teacher_reasons = {"well sung, I know the song"};
  fixture.report.grade = &grade;
  fixture.report.takes[0].grade = &piece.takes[0];
  report::add_unmarked(fixture.report);
  const std::string html = student_page(fixture.report), text = student_text(fixture.report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  CHECK((html.find("<svg") == std::string::npos) == (decision == AlignmentDecision::not_this_melody));
  for (const std::string& sheet : {page_text(html), text})
    for (const char* words : {"well", "Well", "work on", "steps, from note to note", "overrides"})
      if (!teacher) CHECK(sheet.find(words) == std::string::npos);
  return page_text(html) + text;
}

NoMark because(NoMark::Reason reason) {
  NoMark no_mark;
  no_mark.reason = reason;
  return no_mark;
}

}  // namespace

TEST_CASE("a sheet without a mark says what to do, with which recording of which song, and praises nothing") {
  NoMark empty = because(NoMark::Reason::not_measured);
  empty.kind = "empty";
  const std::string to_do = "What to do", song = "Your recording of \"Kite Over the Ridge\" ";
  check_order(sheet_without_a_mark(empty), {to_do, song + "is empty. Please send it again.", "No mark yet."});
  check_order(
      sheet_without_a_mark(because(NoMark::Reason::other_melody), {}, AlignmentDecision::not_this_melody),
      {to_do, song + "does not sound like that song.", "please send the one of \"Kite Over the Ridge\"", to_do});
  check_order(sheet_without_a_mark(because(NoMark::Reason::doubtful_melody), {}, AlignmentDecision::listen),
              {to_do, song + "may be of another song, so your teacher will listen to it."});
  NoMark few = because(NoMark::Reason::too_few_judged);
  few.judged = 12;
  few.written = 30;
  check_order(sheet_without_a_mark(few), {to_do, song + "has only 12 of the 30 notes. Please record the whole song"});
  NoMark key = because(NoMark::Reason::key_in_doubt);
  key.changed_at_bar = 9;
  check_order(sheet_without_a_mark(key),
              {to_do, "the key seems to have changed at bar 9, so your teacher will listen"});
}

TEST_CASE("after a teacher's mark a sheet says that, and no more what to do") {
  const std::string sheet =
      sheet_without_a_mark(because(NoMark::Reason::other_melody), 88, AlignmentDecision::not_this_melody);
  check_order(sheet, {"From your teacher", "\"Kite Over the Ridge\": your teacher's mark is 88.0 %.",
                      "Your teacher says: well sung, I know the song", "Your mark", "88.0 %"});
  for (const char* words : {"What to do", "will listen", "No mark yet", "does not sound like"})
    CHECK(sheet.find(words) == std::string::npos);
}

TEST_CASE("a student who handed in nothing is told which song is missing") {
  StudentCase fixture;
  fixture.report.takes.clear();
  fixture.report.strength.clear();
  fixture.report.work_on.clear();
  fixture.report.grade = &fixture.book.students[4];
  report::add_unmarked(fixture.report);
  const std::string html = student_page(fixture.report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  check_order(page_text(html), {"There is no recording of \"Kite Over the Ridge\" from you yet. Please hand it in."});
}

TEST_CASE("several pieces on one page keep their ids apart") {
  StudentCase fixture;
  fixture.report.takes.push_back(fixture.report.takes[0]);
  CHECK(page::faults_of(student_page(fixture.report)) == std::vector<std::string>{});
}

TEST_CASE("the class page tells who handed in, what needs a listen, what most miss, and the marks") {
  const Gradebook book = a_book();
  ClassReport report;
  report.book = &book;
  report.unmatched = {{"tune.wav", Unmatched::Reason::no_student, {}, {}}};
  ClassHabit habit;
  habit.row.group = "interval";
  habit.row.name = "M6";
  habit.row.direction = Direction::up;
  habit.row.mean_cents = -27;
  habit.takes = 22;
  habit.takes_same_way = 18;
  report.habits = {habit};
  const std::string html = class_page(report);
  for (const std::string& fault : page::faults_of(html)) FAIL_CHECK(fault);
  check_order(page_text(html), {"Week 3: <Kites> & others",
                                "Files that could not be matched",
                                "tune.wav",
                                "its name contains no student of the roster",
                                "Who handed in",
                                "4 of 5 students",
                                "Still missing",
                                "s-05",
                                "Recordings you should listen to",
                                "s-03",
                                "needs a listen",
                                "it may not be this piece",
                                "s-04",
                                "could not be measured",
                                "For the next lesson",
                                "Rising major sixths are 27 cents flat in 18 of 22 recordings",
                                "Marks",
                                "s-01",
                                "85.0 %",
                                "s 02#",
                                "70.0 %"});
  CHECK(html.find("href=\"./s%2002%23.html\"") != std::string::npos);
}

TEST_CASE("the class page of a class without problems says so") {
  Gradebook book = a_book();
  book.students.resize(2);
  ClassReport report;
  report.book = &book;
  const std::string html = class_page(report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  check_order(page_text(html), {"2 of 2 students", "nobody", "None: every recording could be marked.",
                                "No problem that most of the class shares."});
}

TEST_CASE("the class page tells who has done which drill, where pieces are drills") {
  Gradebook book = a_book();
  ClassReport report;
  report.book = &book;
  CHECK(page_text(class_page(report)).find("Drills") == std::string::npos);
  book.pieces.push_back({"hold", "Hold <A4>", 1, DrillAim{"interval", "M6", Direction::up, true, {}}});
  const std::optional<PieceDrill> drills[] = {PieceDrill{true, -4.6}, PieceDrill{false, -30.2}, {}, {}, {}};
  for (std::size_t i = 0; i < 5; ++i) {
    book.students[i].pieces.push_back(book.students[i].pieces[0]);
    book.students[i].pieces[1].drill = drills[i];
  }
  const std::string html = class_page(report);
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  const auto page = drawn::parsed(html);
  std::vector<std::string> cells;
  for (const auto& found : page.select_nodes("//table[starts-with(caption, 'Who has done')]//*[self::th or self::td]"))
    cells.push_back(found.node().select_node(".//text()").node().value());
  CHECK(cells == std::vector<std::string>{"Student", "Hold <A4>", "s-01", "done, 5 cents flat", "s 02#",
                                          "not yet, 30 cents flat", "s-03", "needs a listen", "s-04",
                                          "could not be measured", "s-05", "not handed in"});
  check_order(page_text(html), {"For the next lesson", "Drills",
                                "Hold <A4>, flat rising major sixths: done by 1 of 5 students", "Marks"});
}

TEST_CASE(
    "the class page has a column for each piece, teacher's marks, passes, points and places where there are any") {
  Gradebook book = a_book();
  book.students.resize(2);
  book.pieces.push_back({"mill", "Cold Mill", 2});
  for (StudentGrade& student : book.students) {
    student.pieces.push_back(student.pieces[0]);
    student.pieces[1].piece = "mill";
    student.standing = 1;
    student.passed = true;
  }
  book.students[0].teacher_percent = 90;
  book.rubric.pass_percent = 60;
  book.rubric.round_points = book.rubric.round_standings = true;
  ClassReport report;
  report.book = &book;
  const auto page = drawn::parsed(class_page(report));
  std::vector<std::string> heads;
  for (const auto& found : page.select_nodes("//table[starts-with(caption, 'Marks (')]/thead/tr/th"))
    heads.push_back(found.node().text().as_string());
  CHECK(heads == std::vector<std::string>{"Student", "Kite Over the Ridge", "Cold Mill", "Mark", "Teacher's mark",
                                          "Pass", "Points", "Most in a row", "Place"});
  CHECK(page::faults_of(class_page(report)) == std::vector<std::string>{});
}
