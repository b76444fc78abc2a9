#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <vector>

#include "base/markup.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "html.hpp"
#include "note_player.hpp"
#include "note_table.hpp"
#include "page_sections.hpp"
#include "report/mark_words.hpp"
#include "report/practice_words.hpp"

namespace firmus::page {
namespace {

constexpr std::string_view how_to_read_picture =
    "The black line is your pitch, from left to right. The thin steps are the written notes. Where your line lies in "
    "the grey band, you were in tune. An orange triangle that points up means too high, a blue one that points down "
    "means too low; the number says by how many cents. 100 cents = a semitone.";

std::string student_title(const StudentReport& report) {
  const Gradebook& book = *report.book;
  if (!book.title.empty()) return book.title;
  return book.pieces.size() == 1 && !book.pieces[0].title.empty() ? book.pieces[0].title : "Your recordings";
}

std::string piece_title(const StudentReport& report, std::size_t piece) {
  return piece < report.book->pieces.size() ? report.book->pieces[piece].title : "";
}

void add_sentences(Html& html, const char* heading, const std::vector<std::string>& sentences) {
  if (!sentences.empty()) html.heading(2, heading);
  for (const std::string& words : sentences) html.text(&words == &sentences.front() ? "p.lead" : "p", words);
}

/// Only of takes that the program marked: of others nothing can be praised, nor any work be set.
void add_strength_and_work(Html& html, const StudentReport& report) {
  if (report.strength.empty()) return;
  html.heading(2, "What went well");
  html.text("p.lead", report.strength);
  html.heading(2, "What to work on");
  if (report.work_on.empty()) {
    html.text("p", "Well in tune throughout.");
    return;
  }
  html.begin("ol");
  for (const std::string& item : report.work_on) html.text("li", item);
  html.end("ol");
}

/// A recording that could not be measured, or one of another song, whose notes belong to no note of this one.
bool has_picture(const ReportedTake& take) {
  return take.result && !take.result->error && take.result->decision != AlignmentDecision::not_this_melody;
}

std::string take_heading(const StudentReport& report, const ReportedTake& take) {
  std::string words = take.piece_title.empty() ? take.piece : take.piece_title;
  if (take.grade && !take.grade->counts)
    words += fmt::format(", take {} (another one counts)", take.grade->take_number);
  return words.empty() ? student_title(report) : words;
}

/// The picture, and the figures in a section that is closed at first.
void add_student_take(Html& html, const StudentReport& report, std::size_t number) {
  const ReportedTake& take = report.takes[number];
  html.heading(3, take_heading(report, take));
  const bool marked = !take.grade || take.grade->status == GradeStatus::marked;
  if (take.result->drill && marked)
    for (const std::string& sentence : report::drill_in_words(*take.result->drill)) html.text("p", sentence);
  const std::string prefix = fmt::format("t{}-", number + 1);
  html.begin("section", fmt::format(" aria-label=\"{}\"", markup_escaped(take_heading(report, take))));
  add_figure(html, take.picture, prefix, how_to_read_picture);
  html.begin("details");
  html.text("summary", "Every note in figures");
  const std::string cents = cents_picture(*take.result);
  add_figure(html, cents, prefix, "Each note in turn: above the line is too high, below it is too low.");
  add_note_table(html, *take.result, prefix);
  html.end("details");
  add_note_player(html, *take.result, prefix);
  html.end("section");
}

void add_student_takes(Html& html, const StudentReport& report) {
  if (std::none_of(report.takes.begin(), report.takes.end(), has_picture)) return;
  html.heading(2, "Your pitch");
  for (std::size_t i = 0; i < report.takes.size(); ++i)
    if (has_picture(report.takes[i])) add_student_take(html, report, i);
}

void add_piece_mark(Html& html, const StudentReport& report, const PieceGrade& piece, const std::string& title) {
  if (report.grade->pieces.size() > 1) html.heading(3, title);
  if (piece.mark_percent) {
    const std::string made = report::made_words(report.book->rubric, piece.made);
    const bool told_above = report.grade->pieces.size() == 1 && !piece.teacher_percent;
    html.text("p", told_above ? made + "." : fmt::format("{}: {}.", report::percent_words(piece.mark_percent), made));
  } else if (!piece.teacher_percent) {
    html.text("p", "No mark yet.");
  }
  const std::string by_teacher = report::teachers_mark_words(piece, title);
  if (piece.status == GradeStatus::marked && !by_teacher.empty()) html.text("p", by_teacher);
}

void add_round(Html& html, const StudentReport& report) {
  const Rubric& rubric = report.book->rubric;
  if ((!rubric.round_points && !rubric.round_standings) || report.grade->possible <= 0) return;
  html.text("p", fmt::format("Points: {}. Most notes in tune in a row: {}.",
                             report::points_words(report.grade->points, report.grade->possible),
                             report.grade->most_in_a_row));
}

void add_mark(Html& html, const StudentReport& report) {
  const StudentGrade& grade = *report.grade;
  html.heading(2, "Your mark");
  if (grade.final_percent()) html.text("p.lead", report::percent_words(grade.final_percent()));
  for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
    const PieceGrade& piece = grade.pieces[i];
    const std::string title = piece_title(report, i);
    add_piece_mark(html, report, piece, title.empty() ? piece.piece : title);
  }
  if (grade.passed) html.text("p", *grade.passed ? "Passed." : "Not passed yet.");
  add_round(html, report);
  html.text("p.quiet", "Scoring: " + report::rubric_words(report.book->rubric) + ".");
}

void add_student_report(Html& html, const StudentReport& report) {
  html.begin("main");
  html.heading(1, student_title(report));
  html.text("p.quiet", report.book->date ? report.grade->student + ", " + *report.book->date : report.grade->student);
  add_sentences(html, "What to do", report.to_do);
  add_sentences(html, "From your teacher", report.by_teacher);
  add_strength_and_work(html, report);
  add_student_takes(html, report);
  add_mark(html, report);
  html.end("main");
  add_caution_footer(html);
}

}  // namespace
}  // namespace firmus::page

namespace firmus {

std::string student_page(const StudentReport& report) {
  page::Html html;
  page::add_student_report(html, report);
  return page::whole_page(page::student_title(report) + ": " + report.grade->student, html);
}

}  // namespace firmus
