// The gradebook as tables: gradebook.csv, marks.csv, failures.csv. One column per field, numbers with a decimal point.
#include <fmt/format.h>

#include "firmus/report.hpp"
#include "report/mark_words.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

using Cells = std::vector<Cell>;

constexpr int percent_decimals = 1;

Cell percent_cell(const std::optional<double>& value) {
  return value ? Cell(Number{*value, percent_decimals}) : Cell();
}
Cell status_of(GradeStatus status) {
  return std::string(to_string(status));
}
std::string joined(const Cells& cells) {
  std::string text;
  for (const Cell& cell : cells) add_to_line(text, cell);
  return text.substr(1);
}
std::string line(const Cells& cells) {
  return joined(cells) + "\r\n";
}

Cell reasons_of(const PieceGrade& piece) {
  return piece.teacher_reasons;
}

std::string counts_header(const Rubric& rubric) {
  std::string line;
  for (const Field<MarkBreakdown>& field : mark_fields()) {
    if (!field.column.empty()) add_to_line(line, Cell(std::string(field.column)));
    if (field.key != in_band_key) continue;
    for (const Band& band : rubric.bands) add_to_line(line, Cell(fmt::format("within_{:g}_cents", band.within_cents)));
  }
  return line;
}

std::string counts_of(const MarkBreakdown& made, const Rubric& rubric) {
  std::string line;
  for (const Field<MarkBreakdown>& field : mark_fields()) {
    if (!field.column.empty()) add_to_line(line, field.cell(made));
    if (field.key != in_band_key) continue;
    for (std::size_t i = 0; i < rubric.bands.size(); ++i)
      add_to_line(line, Cell(i < made.in_band.size() ? made.in_band[i] : 0));
  }
  return line;
}

Cells texts(std::initializer_list<const char*> names) {
  Cells cells;
  for (const char* name : names) cells.emplace_back(std::string(name));
  return cells;
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string gradebook_csv(const Gradebook& book) {
  const auto fields = student_grade_fields(book.rubric.round_standings ? Standings::shown : Standings::left_out);
  const bool several = book.pieces.size() > 1;
  std::string text;
  add_header(text, fields);
  text.erase(0, 1);  // the comma before the first column
  if (several)
    for (const PieceFacts& piece : book.pieces) add_to_line(text, Cell(piece.id + " percent"));
  text += "\r\n";
  for (const StudentGrade& one : book.students) {
    std::string row;
    add_cells(row, fields, one);
    if (several)
      for (const PieceGrade& piece : one.pieces) add_to_line(row, percent_cell(piece.final_percent()));
    text += row.substr(1) + "\r\n";
  }
  return text;
}

std::string marks_csv(const Gradebook& book) {
  std::string text = "student,piece,take,counts,status,why" + counts_header(book.rubric) +
                     ",mark_percent,teacher_percent,teacher_reason\r\n";
  for (const StudentGrade& student : book.students)
    for (const PieceGrade& piece : student.pieces) {
      for (const TakeGrade& take : piece.takes)
        text += joined({student.student, piece.piece, take.stem, take.counts, status_of(take.status),
                        why_words(take.no_mark)}) +
                counts_of(take.made, book.rubric) + "," +
                line({take.status == GradeStatus::marked ? percent_cell(take.made.percent) : Cell(),
                      take.counts ? percent_cell(piece.teacher_percent) : Cell(),
                      take.counts ? reasons_of(piece) : Cell()});
      if (!piece.takes.empty()) continue;
      text += joined({student.student, piece.piece, Cell(), Cell(), status_of(piece.status), Cell()}) +
              counts_of(piece.made, book.rubric) + "," +
              line({Cell(), percent_cell(piece.teacher_percent), reasons_of(piece)});
    }
  return text;
}

std::string failures_csv(const Gradebook& book) {
  std::string text = line(texts({"student", "piece", "take", "status", "why", "advice"}));
  for (const StudentGrade& student : book.students)
    for (const PieceGrade& piece : student.pieces)
      for (const TakeGrade& take : piece.takes)
        if (take.status != GradeStatus::marked)
          text += line({student.student, piece.piece, take.stem, status_of(take.status), why_words(take.no_mark),
                        advice_words(take.no_mark)});
  return text;
}

}  // namespace firmus
