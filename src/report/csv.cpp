#include "row_fields.hpp"

namespace firmus {
using namespace report;
namespace {

std::string start_of(const Result& result) {
  return csv_cell(Cell(result.take.name));
}

/// The only row of a take that was not measured: all columns, with the status `not_measured` and the others empty.
std::string row_of_a_take_not_measured(const Result& result) {
  std::string line = start_of(result);
  for (const Field<NoteResult>& field : note_fields())
    if (!field.column.empty()) add_to_line(line, field.column == "status" ? Cell(std::string("not_measured")) : Cell());
  return line + "\r\n";
}

template <class Row>
std::string header_of(std::span<const Field<Row>> fields) {
  std::string line(take_column);
  add_header(line, fields);
  return line + "\r\n";
}

template <class Row>
std::string rows_of(const Result& result, std::span<const Field<Row>> fields, const std::vector<Row>& rows) {
  const std::string start = start_of(result);
  std::string lines;
  for (const Row& row : rows) {
    std::string line = start;
    add_cells(line, fields, row);
    lines += line + "\r\n";
  }
  return lines;
}

}  // namespace

std::string notes_csv_header() {
  return header_of(note_fields());
}

std::string notes_csv_rows(const Result& result) {
  return result.error ? row_of_a_take_not_measured(result) : rows_of(result, note_fields(), result.notes);
}

std::string habits_csv(const Result& result) {
  return header_of(habit_fields()) + rows_of(result, habit_fields(), result.habits);
}

}  // namespace firmus
