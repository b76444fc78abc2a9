// The gradebook as tables: gradebook.csv, marks.csv, failures.csv. One column a field, numbers with a point.
#include <fmt/format.h>

#include "firmus/report.hpp"
#include "report/cell.hpp"
#include "report/mark_words.hpp"

namespace firmus::report {
namespace {

using Cells = std::vector<Cell>;

constexpr int percent_decimals = 1, points_decimals = 4;

Cell percent_cell(const std::optional<double>& value) {
  return value ? Cell(Number{*value, percent_decimals}) : Cell();
}
Cell points_cell(double value) {
  return Number{value, points_decimals, true};
}
Cell status_of(GradeStatus status) {
  return std::string(to_string(status));
}
Cell yes_or_no(const std::optional<bool>& value) {
  return value ? Cell(std::string(*value ? "yes" : "no")) : Cell();
}

std::string line(const Cells& cells) {
  std::string text;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) text += ',';
    text += csv_cell(cells[i]);
  }
  return text + "\r\n";
}

Cell reasons_of(const PieceGrade& piece) {
  return piece.teacher_reasons;
}

void add_counts_header(Cells& header, const Rubric& rubric) {
  for (const char* name : {"written", "judged"}) header.emplace_back(std::string(name));
  for (const Band& band : rubric.bands) header.emplace_back(fmt::format("within_{:g}_cents", band.within_cents));
  for (const char* name :
       {"beyond", "other_note", "missing", "extra", "unclear", "points", "possible", "most_in_a_row"})
    header.emplace_back(std::string(name));
}

void add_counts(Cells& row, const MarkBreakdown& made, const Rubric& rubric) {
  row.insert(row.end(), {Cell(made.written), Cell(made.judged)});
  for (std::size_t i = 0; i < rubric.bands.size(); ++i) row.emplace_back(i < made.in_band.size() ? made.in_band[i] : 0);
  for (const int count : {made.beyond, made.other_note, made.missing, made.extra, made.unclear})
    row.emplace_back(count);
  row.insert(row.end(), {points_cell(made.points), points_cell(made.possible), Cell(made.most_in_a_row)});
}

Cells texts(std::initializer_list<const char*> names) {
  Cells cells;
  for (const char* name : names) cells.emplace_back(std::string(name));
  return cells;
}

std::string all_reasons(const StudentGrade& student) {
  std::string text;
  for (const PieceGrade& piece : student.pieces)
    for (const std::string& reason : piece.teacher_reasons) {
      if (!text.empty()) text += "; ";
      if (student.pieces.size() > 1) text += piece.piece + ": ";
      text += reason;
    }
  return text;
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string gradebook_csv(const Gradebook& book) {
  Cells header = texts({"student", "status", "why", "mark_percent", "teacher_percent", "final_percent", "passed",
                        "teacher_reason", "pieces", "pieces_marked", "points", "possible", "most_in_a_row"});
  if (book.rubric.round_standings) header.emplace_back(std::string("standing"));
  if (book.pieces.size() > 1)
    for (const PieceFacts& piece : book.pieces) header.emplace_back(piece.id + " percent");
  std::string text = line(header);
  for (const StudentGrade& one : book.students) {
    Cells row{one.student,
              status_of(one.status),
              why_words(one),
              percent_cell(one.mark_percent),
              percent_cell(one.teacher_percent),
              percent_cell(one.final_percent()),
              yes_or_no(one.passed),
              all_reasons(one),
              static_cast<int>(one.pieces.size()),
              one.pieces_marked,
              points_cell(one.points),
              points_cell(one.possible),
              one.most_in_a_row};
    if (book.rubric.round_standings) row.push_back(cell_of(one.standing));
    if (book.pieces.size() > 1)
      for (const PieceGrade& piece : one.pieces) row.push_back(percent_cell(piece.final_percent()));
    text += line(row);
  }
  return text;
}

std::string marks_csv(const Gradebook& book) {
  Cells header = texts({"student", "piece", "take", "counts", "status", "why"});
  add_counts_header(header, book.rubric);
  for (const char* name : {"mark_percent", "teacher_percent", "teacher_reason"}) header.emplace_back(std::string(name));
  std::string text = line(header);
  for (const StudentGrade& student : book.students)
    for (const PieceGrade& piece : student.pieces) {
      for (const TakeGrade& take : piece.takes) {
        Cells row{student.student,
                  piece.piece,
                  take.stem,
                  std::string(take.counts ? "yes" : "no"),
                  status_of(take.status),
                  why_words(take.no_mark)};
        add_counts(row, take.made, book.rubric);
        row.push_back(take.status == GradeStatus::marked ? percent_cell(take.made.percent) : Cell());
        row.push_back(take.counts ? percent_cell(piece.teacher_percent) : Cell());
        row.push_back(take.counts ? reasons_of(piece) : Cell());
        text += line(row);
      }
      if (!piece.takes.empty()) continue;
      Cells row{student.student, piece.piece, Cell(), Cell(), status_of(piece.status), Cell()};
      add_counts(row, piece.made, book.rubric);
      row.insert(row.end(), {Cell(), percent_cell(piece.teacher_percent), reasons_of(piece)});
      text += line(row);
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
