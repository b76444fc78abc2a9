#include <fmt/format.h>

#include <algorithm>

#include "base/base.hpp"
#include "base/markup.hpp"
#include "firmus/page.hpp"
#include "html.hpp"
#include "link.hpp"
#include "page_sections.hpp"
#include "report/mark_words.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

using Kind = TableCell::Kind;

std::string class_title(const Gradebook& book) {
  if (!book.title.empty()) return book.title;
  return book.pieces.size() == 1 && !book.pieces[0].title.empty() ? "The class: " + book.pieces[0].title : "The class";
}

std::vector<std::string> with_status(const Gradebook& book, GradeStatus status) {
  std::vector<std::string> students;
  for (const StudentGrade& grade : book.students)
    if (grade.status == status) students.push_back(grade.student);
  return students;
}

void add_handed_in(Html& html, const ClassReport& report) {
  const Gradebook& book = *report.book;
  const auto missing = with_status(book, GradeStatus::not_handed_in);
  const auto all = static_cast<int>(book.students.size());
  html.heading(2, "Who handed in");
  html.text("p.lead", fmt::format("{} of {}", all - static_cast<int>(missing.size()), report::counted(all, "student")));
  html.facts({{"Marked", fmt::format("{}", with_status(book, GradeStatus::marked).size())},
              {"Please listen", fmt::format("{}", with_status(book, GradeStatus::needs_a_listen).size())},
              {"Not measured", fmt::format("{}", with_status(book, GradeStatus::not_measured).size())},
              {"Still missing", missing.empty() ? "nobody" : fmt::format("{}", fmt::join(missing, ", "))}});
}

/// First of all: without these files nobody can be said not to have handed in.
void add_unmatched(Html& html, const ClassReport& report) {
  if (report.unmatched.empty()) return;
  html.heading(2, "Files that could not be matched to a student");
  html.text("p", "Write the student beside each of them in private/whose.csv and run firmus again.");
  std::vector<TableRow> rows;
  for (const Unmatched& file : report.unmatched)
    rows.push_back(TableRow{{TableCell{display_name(file.name), Kind::row_head}, TableCell{unmatched_words(file)}}});
  add_table(html, "Files of nobody, and why", {{"File"}, {"Why"}}, rows);
}

std::string student_link(const std::string& student) {
  return fmt::format("<a href=\"{}\">{}</a>", link_to(student), markup_escaped(student));
}

std::string piece_title(const Gradebook& book, const std::string& id) {
  for (const PieceFacts& piece : book.pieces)
    if (piece.id == id && !piece.title.empty()) return piece.title;
  return id;
}

std::vector<TableRow> listen_rows(const Gradebook& book) {
  std::vector<TableRow> rows;
  for (const StudentGrade& student : book.students)
    for (const PieceGrade& piece : student.pieces)
      for (const TakeGrade& take : piece.takes) {
        if (take.status != GradeStatus::needs_a_listen && take.status != GradeStatus::not_measured) continue;
        rows.push_back({{{student_link(student.student), Kind::row_head_markup},
                         {piece_title(book, piece.piece)},
                         {std::to_string(take.take_number), Kind::figure},
                         {std::string(to_string(take.status))},
                         {report::why_words(take.no_mark)},
                         {report::advice_words(take.no_mark)}}});
      }
  return rows;
}

void add_listen(Html& html, const Gradebook& book) {
  html.heading(2, "Recordings you should listen to");
  const std::vector<TableRow> rows = listen_rows(book);
  if (rows.empty()) return html.text("p", "None: every recording could be marked.");
  add_table(html, "Recordings without a mark, and why",
            {{"Student"}, {"Piece"}, {"Try", Kind::figure}, {"State"}, {"Why"}, {"What helps"}}, rows);
}

void add_habits(Html& html, const ClassReport& report) {
  html.heading(2, "For the next lesson");
  if (report.habits.empty()) return html.text("p", "No problem that most of the class shares.");
  std::vector<std::string> items;
  for (const ClassHabit& habit : report.habits) items.push_back(report::class_habit_words(report, habit));
  html.list(items);
}

void add_pitch_changes(Html& html, const ClassReport& report) {
  const std::vector<std::string> lines = report::class_pitch_changes_in_words(report);
  if (lines.empty()) return;
  html.heading(2, "Who changed key or drifted");
  html.list(lines);
}

/// One column for each drill: whether it is done, and the mean error of its notes.
void add_class_drills(Html& html, const Gradebook& book) {
  std::vector<std::string> counts;
  std::vector<TableCell> headers{{"Student"}};
  std::vector<TableRow> rows;
  for (const StudentGrade& student : book.students)
    rows.push_back({{{student_link(student.student), Kind::row_head_markup}}});
  for (std::size_t i = 0; i < book.pieces.size(); ++i) {
    if (!book.pieces[i].drill) continue;
    headers.push_back({piece_title(book, book.pieces[i].id)});
    counts.push_back(headers.back().text + ", " + report::drill_count_words(book, i));
    for (std::size_t k = 0; k < rows.size(); ++k)
      rows[k].cells.push_back({report::drill_state_words(book.students[k].pieces[i])});
  }
  if (counts.empty()) return;
  html.heading(2, "Drills");
  html.list(counts);
  add_table(html, "Who has done which drill, with the average error of its notes", headers, rows);
}

std::string mark_or_status(const std::optional<double>& percent, GradeStatus status) {
  return percent ? report::percent_words(percent) : std::string(to_string(status));
}

bool any_teacher_mark(const Gradebook& book) {
  return std::any_of(book.students.begin(), book.students.end(),
                     [](const StudentGrade& grade) { return grade.teacher_percent.has_value(); });
}

TableRow mark_row(const Gradebook& book, const StudentGrade& student, bool teacher) {
  TableRow row{{{student_link(student.student), Kind::row_head_markup}}};
  if (book.pieces.size() > 1)
    for (const PieceGrade& piece : student.pieces)
      row.cells.push_back({mark_or_status(piece.final_percent(), piece.status), Kind::figure});
  row.cells.push_back({mark_or_status(student.mark_percent, student.status), Kind::figure});
  if (teacher) row.cells.push_back({report::percent_words(student.teacher_percent), Kind::figure});
  if (book.rubric.pass_percent) row.cells.push_back({!student.passed ? "" : *student.passed ? "passed" : "not passed"});
  if (book.rubric.round_points) {
    const bool any = student.possible > 0;
    row.cells.push_back({any ? report::points_words(student.points, student.possible) : "", Kind::figure});
    row.cells.push_back({any ? std::to_string(student.most_in_a_row) : "", Kind::figure});
  }
  if (book.rubric.round_standings)
    row.cells.push_back({student.standing ? std::to_string(*student.standing) : "", Kind::figure});
  return row;
}

std::vector<TableCell> mark_heads(const Gradebook& book, bool teacher) {
  std::vector<TableCell> headers{{"Student"}};
  if (book.pieces.size() > 1)
    for (const PieceFacts& piece : book.pieces) headers.push_back({piece_title(book, piece.id), Kind::figure});
  headers.push_back({"Mark", Kind::figure});
  if (teacher) headers.push_back({"Teacher's mark", Kind::figure});
  if (book.rubric.pass_percent) headers.push_back({"Pass"});
  if (book.rubric.round_points) {
    headers.push_back({"Points", Kind::figure});
    headers.push_back({"Most in a row", Kind::figure});
  }
  if (book.rubric.round_standings) headers.push_back({"Place", Kind::figure});
  return headers;
}

void add_marks(Html& html, const Gradebook& book) {
  const bool teacher = any_teacher_mark(book);
  html.heading(2, "Marks");
  std::vector<TableRow> rows;
  for (const StudentGrade& student : book.students) rows.push_back(mark_row(book, student, teacher));
  add_table(html, "Marks (details in marks.csv)", mark_heads(book, teacher), rows);
  html.text("p.quiet", "Scoring: " + report::rubric_words(book.rubric) + ".");
}

/// The ranking of the class, where the rubric has one.
void add_standings(Html& html, const Gradebook& book) {
  if (!book.rubric.round_standings) return;
  std::vector<const StudentGrade*> order;
  for (const StudentGrade& student : book.students)
    if (student.standing) order.push_back(&student);
  std::stable_sort(order.begin(), order.end(),
                   [](const StudentGrade* a, const StudentGrade* b) { return *a->standing < *b->standing; });
  html.heading(2, "The round");
  if (order.empty()) return html.text("p", "Nobody has points yet.");
  std::vector<TableRow> rows;
  for (const StudentGrade* student : order)
    rows.push_back({{{std::to_string(*student->standing), Kind::figure},
                     {student_link(student->student), Kind::row_head_markup},
                     {report::points_words(student->points, student->possible), Kind::figure},
                     {std::to_string(student->most_in_a_row), Kind::figure}}});
  add_table(html, "Points, and the most notes in tune in a row; equal points share a place",
            {{"Place", Kind::figure}, {"Student"}, {"Points", Kind::figure}, {"Most in a row", Kind::figure}}, rows);
}

void add_class(Html& html, const ClassReport& report) {
  const Gradebook& book = *report.book;
  html.begin("main");
  html.heading(1, class_title(book));
  std::string facts = report::counted(static_cast<int>(book.students.size()), "student") + ", " +
                      report::counted(static_cast<int>(book.pieces.size()), "piece");
  if (book.date) facts = *book.date + ", " + facts;
  html.text("p.quiet", facts);
  add_unmatched(html, report);
  add_handed_in(html, report);
  add_listen(html, book);
  add_habits(html, report);
  add_pitch_changes(html, report);
  add_class_drills(html, book);
  add_marks(html, book);
  add_standings(html, book);
  html.end("main");
  add_caution_footer(html);
}

}  // namespace
}  // namespace firmus::page

namespace firmus {

std::string class_page(const ClassReport& report) {
  page::Html html;
  page::add_class(html, report);
  return page::whole_page(page::class_title(*report.book), html);
}

}  // namespace firmus
