// The one ordered table of fields: it feeds the CSV header, the JSON keys, the text columns and the reference.
#pragma once
#include <span>
#include <string_view>

#include "firmus/result.hpp"
#include "report/cell.hpp"

namespace firmus::report {

template <class Row>
struct Field {
  std::string_view column;   ///< CSV column; empty: not in CSV
  std::string_view key;      ///< JSON key, "error_cents.own" for a nested one; empty: not in JSON
  std::string_view unit;     ///< empty: a name or a count
  std::string_view meaning;  ///< one line
  Cell (*get)(const Row&);
};

struct NoteRow {
  const Result& result;
  const NoteResult& note;
};

struct HabitRowOf {
  const Result& result;
  const HabitRow& habit;
};

std::span<const Field<NoteRow>> note_fields();
std::span<const Field<HabitRowOf>> habit_fields();

/// The cell of one note by its CSV column, for text. The column must exist.
Cell note_cell(const NoteRow& row, std::string_view column);

/// Cells to one line of CSV; `cell_of_field` gives the cell of a field that has a column.
template <class Row, class CellOfField>
std::string csv_line(std::span<const Field<Row>> fields, CellOfField cell_of_field) {
  std::string line;
  bool first = true;
  for (const Field<Row>& field : fields) {
    if (field.column.empty()) continue;
    if (!first) line += ',';
    first = false;
    line += csv_cell(cell_of_field(field));
  }
  return line + "\r\n";
}

template <class Row>
std::string csv_header(std::span<const Field<Row>> fields) {
  return csv_line(fields, [](const Field<Row>& field) { return Cell(std::string(field.column)); });
}

template <class Row>
std::string csv_row(std::span<const Field<Row>> fields, const Row& row) {
  return csv_line(fields, [&](const Field<Row>& field) { return field.get(row); });
}

template <class Row>
Json json_object(std::span<const Field<Row>> fields, const Row& row) {
  Json object = Json::object();
  for (const Field<Row>& field : fields) {
    if (field.key.empty()) continue;
    const std::size_t dot = field.key.find('.');
    const std::string outer(field.key.substr(0, dot));
    if (dot == std::string_view::npos) {
      object[outer] = to_json(field.get(row));
    } else {
      object[outer][std::string(field.key.substr(dot + 1))] = to_json(field.get(row));
    }
  }
  return object;
}

}  // namespace firmus::report
