// class.txt: who handed in, takes that need a listen or could not be measured, shared habits, drills, marks.
#include <fmt/format.h>

#include <algorithm>

#include "base/base.hpp"
#include "firmus/report.hpp"
#include "report/mark_words.hpp"
#include "report/text_page.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

std::string title_of(const PieceFacts& piece) {
  return display_name(piece.title.empty() ? piece.id : piece.title);
}

void add_head(Page& page, const ClassReport& report) {
  const Gradebook& book = *report.book;
  std::string what = display_name(book.title);
  if (book.date) what += (what.empty() ? "" : ", ") + *book.date;
  if (!what.empty()) page.entry("Assignment", what);
  std::vector<std::string> pieces;
  for (const PieceFacts& piece : book.pieces) pieces.push_back(title_of(piece));
  page.entry(pieces.size() == 1 ? "Piece" : "Pieces", fmt::format("{}", fmt::join(pieces, "; ")));
}

bool handed_in(const StudentGrade& student) {
  return std::any_of(student.pieces.begin(), student.pieces.end(),
                     [](const PieceGrade& piece) { return !piece.takes.empty(); });
}

void add_handed_in(Page& page, const ClassReport& report) {
  std::vector<std::string> missing;
  for (const StudentGrade& student : report.book->students)
    if (!handed_in(student)) missing.push_back(student.student);
  const std::size_t all = report.book->students.size();
  page.entry("Handed in", fmt::format("{} of {}", all - missing.size(), counted(static_cast<int>(all), "student")));
  if (!missing.empty()) page.entry("Missing", fmt::format("{}", fmt::join(missing, ", ")));
}

/// First of all: without them nobody can be said not to have handed in.
void add_unmatched(Page& page, const ClassReport& report) {
  if (report.unmatched.empty()) return;
  constexpr std::size_t most_named = 12;
  const auto all = static_cast<int>(report.unmatched.size());
  page.gap();
  page.line(fmt::format("{} could not be matched to a student", counted(all, "file")));
  for (std::size_t i = 0; i < std::min(report.unmatched.size(), most_named); ++i)
    page.item(fmt::format("{}: {}", display_name(report.unmatched[i].name), unmatched_words(report.unmatched[i])));
  if (report.unmatched.size() > most_named) page.item(fmt::format("and {} more", report.unmatched.size() - most_named));
  page.paragraph("Write the student beside each of them in private/whose.csv, and run this again.");
}

void add_takes(Page& page, const ClassReport& report, GradeStatus status, std::string_view heading) {
  bool first = true;
  for (const StudentGrade& student : report.book->students)
    for (const PieceGrade& piece : student.pieces)
      for (const TakeGrade& take : piece.takes) {
        if (take.status != status) continue;
        if (first) {
          page.gap();
          page.line(heading);
        }
        first = false;
        page.item(fmt::format("{}: {}", take.stem, display_name(why_words(take.no_mark))));
      }
}

void add_habits(Page& page, const ClassReport& report) {
  page.gap();
  page.line("For the next lesson: problems that most of the class shares");
  if (report.habits.empty()) page.item("none");
  for (const ClassHabit& habit : report.habits) page.item(class_habit_words(report, habit));
}

void add_pitch_changes(Page& page, const ClassReport& report) {
  const std::vector<std::string> lines = class_pitch_changes_in_words(report);
  if (lines.empty()) return;
  page.gap();
  page.line("Who changed key or drifted");
  for (const std::string& line : lines) page.item(display_name(line));
}

/// A summary of each drill, then one line per student.
void add_drills(Page& page, const ClassReport& report) {
  const Gradebook& book = *report.book;
  std::vector<std::size_t> drills;
  for (std::size_t i = 0; i < book.pieces.size(); ++i)
    if (book.pieces[i].drill) drills.push_back(i);
  if (drills.empty()) return;
  page.gap();
  page.line("Drills: who has done which, with the average error of its notes");
  for (const std::size_t i : drills)
    page.item(fmt::format("{}, {}", title_of(book.pieces[i]), drill_count_words(book, i)));
  page.gap();
  for (const StudentGrade& student : book.students) {
    std::vector<std::string> states;
    for (const std::size_t i : drills)
      states.push_back(fmt::format("{} ({})", title_of(book.pieces[i]), drill_state_words(student.pieces[i])));
    page.item(fmt::format("{}: {}", student.student, fmt::join(states, "; ")));
  }
}

int longest_id(const Gradebook& book) {
  int longest = 0;
  for (const StudentGrade& student : book.students) longest = std::max(longest, code_points(student.student));
  return std::min(longest, 24);
}

std::string mark_of(const StudentGrade& student, const Gradebook& book) {
  const auto percent = student.final_percent();
  if (!percent) return student.status == GradeStatus::marked ? "marked" : std::string(to_string(student.status));
  std::string text = fmt::format("{:5.1f} %", *percent);
  if (student.teacher_percent && student.mark_percent)
    text += fmt::format(" (your mark; measured: {:.1f} %)", *student.mark_percent);
  else if (student.teacher_percent)
    text += " (your mark)";
  if (student.passed) text += *student.passed ? ", passed" : ", not passed";
  if (book.pieces.size() > 1) text += fmt::format(" ({} of {} pieces)", student.pieces_marked, book.pieces.size());
  return text;
}

void add_marks(Page& page, const ClassReport& report) {
  const Gradebook& book = *report.book;
  const int width = longest_id(book);
  page.gap();
  page.line("Marks");
  for (const StudentGrade& student : book.students) {
    page.line(fmt::format("  {}  {}", padded(student.student, width), mark_of(student, book)));
  }
}

void add_round(Page& page, const ClassReport& report) {
  const Gradebook& book = *report.book;
  if (!book.rubric.round_points && !book.rubric.round_standings) return;
  std::vector<const StudentGrade*> order;
  for (const StudentGrade& student : book.students)
    if (student.status == GradeStatus::marked && student.possible > 0) order.push_back(&student);
  if (order.empty()) return;
  if (book.rubric.round_standings)
    std::stable_sort(order.begin(), order.end(), [](const StudentGrade* a, const StudentGrade* b) {
      return a->standing.value_or(0) < b->standing.value_or(0);
    });
  page.gap();
  const int width = longest_id(book);
  page.line("Class round: points, and the most notes in tune in a row");
  for (const StudentGrade* student : order)
    page.line(fmt::format("  {}{}  {}, {} in a row",
                          book.rubric.round_standings ? fmt::format("{:>3}  ", student->standing.value_or(0)) : "",
                          padded(student->student, width), points_words(student->points, student->possible),
                          student->most_in_a_row));
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string class_text(const ClassReport& report) {
  Page page;
  add_head(page, report);
  add_unmatched(page, report);
  page.gap();
  add_handed_in(page, report);
  add_takes(page, report, GradeStatus::needs_a_listen, "Please listen");
  add_takes(page, report, GradeStatus::not_measured, "Could not be opened");
  add_habits(page, report);
  add_pitch_changes(page, report);
  add_drills(page, report);
  add_marks(page, report);
  add_round(page, report);
  page.gap();
  page.entry("Care", fmt::format("{} {}", teacher_judges, teacher_stands));
  return page.text();
}

}  // namespace firmus
