// ID.txt: the report to a student, in words for a twelve-year-old, without data about other students.
#include <fmt/format.h>

#include "base/base.hpp"
#include "firmus/report.hpp"
#include "report/mark_words.hpp"
#include "report/practice_words.hpp"
#include "report/text_page.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

void add_head(Page& page, const StudentReport& report) {
  page.entry("Student", report.grade->student);
  if (!report.book->title.empty()) page.entry("Assignment", display_name(report.book->title));
  if (report.book->date) page.entry("Date", *report.book->date);
}

void add_words(Page& page, const StudentReport& report) {
  if (!report.strength.empty()) {
    page.gap();
    page.line("What went well");
    page.item(report.strength);
  }
  if (report.work_on.empty()) return;
  page.gap();
  page.line("What to work on");
  for (const std::string& text : report.work_on) page.item(text);
  page.item("100 cents = a semitone.");
}

std::string title_of(const StudentReport& report, const PieceGrade& piece, std::size_t number) {
  const std::string& title = report.book->pieces[number].title;
  return title.empty() ? piece.piece : display_name(title);
}

/// Whether the drill is done, by the first take of the piece that counts and is of a drill.
void add_drill(Page& page, const StudentReport& report, const PieceGrade& piece) {
  for (const ReportedTake& take : report.takes)
    if (take.piece == piece.piece && take.grade && take.grade->counts && take.result && take.result->drill) {
      const std::vector<std::string> sentences = drill_in_words(*take.result->drill);
      return page.paragraph(fmt::format("{}", fmt::join(sentences, " ")));
    }
}

void add_mark(Page& page, const StudentReport& report, const PieceGrade& piece, std::size_t number) {
  const std::string label = report.book->pieces.size() > 1 ? title_of(report, piece, number) + ": " : "";
  if (piece.status == GradeStatus::marked) {
    page.paragraph(fmt::format("{}{} ({}).", label, percent_words(piece.mark_percent),
                               made_words(report.book->rubric, piece.made)));
    add_drill(page, report, piece);
  } else if (!piece.teacher_percent) {
    page.paragraph(label.empty() ? "No mark yet." : label + "no mark yet.");
  }
  const std::string by_teacher = teachers_mark_words(piece, report.book->pieces[number].title);
  if (piece.status == GradeStatus::marked && !by_teacher.empty()) page.paragraph(by_teacher);
}

void add_sentences(Page& page, const char* heading, const std::vector<std::string>& sentences) {
  if (sentences.empty()) return;
  page.gap();
  page.line(heading);
  for (const std::string& words : sentences) page.item(words);
}

void add_round(Page& page, const StudentReport& report) {
  const StudentGrade& grade = *report.grade;
  const Rubric& rubric = report.book->rubric;
  if ((!rubric.round_points && !rubric.round_standings) || grade.possible <= 0) return;
  page.paragraph(fmt::format("Class round: {} points, {} in tune in a row.", points_words(grade.points, grade.possible),
                             counted(grade.most_in_a_row, "note")));
}

void add_marks(Page& page, const StudentReport& report) {
  page.gap();
  page.line("Your mark");
  for (std::size_t i = 0; i < report.grade->pieces.size(); ++i) add_mark(page, report, report.grade->pieces[i], i);
  const StudentGrade& grade = *report.grade;
  if (grade.pieces.size() > 1 && grade.final_percent())
    page.paragraph(fmt::format("Overall {} ({} of {} pieces).", percent_words(grade.final_percent()),
                               grade.pieces_marked, grade.pieces.size()));
  if (grade.passed) page.paragraph(*grade.passed ? "Passed." : "Not passed yet.");
  add_round(page, report);
  page.gap();
  page.entry("Care", fmt::format("{} {}", teacher_judges, teacher_stands));
  page.entry("", stop_at_pain);
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string student_text(const StudentReport& report) {
  Page page;
  add_head(page, report);
  add_sentences(page, "What to do", report.to_do);
  add_sentences(page, "From your teacher", report.by_teacher);
  add_words(page, report);
  add_marks(page, report);
  return page.text();
}

}  // namespace firmus
