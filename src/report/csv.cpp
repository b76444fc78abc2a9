#include "fields.hpp"
#include "firmus/report.hpp"

namespace firmus {
using namespace report;
namespace {

/// The one row of a take that was not measured: as wide as any other.
std::string row_of_a_take_not_measured(const Result& result) {
  return csv_line(note_fields(), [&](const Field<NoteRow>& field) {
    if (field.column == "take") return Cell(result.take.name);
    return field.column == "status" ? Cell(std::string("not_measured")) : Cell();
  });
}

}  // namespace

std::string notes_csv_header() {
  return csv_header(note_fields());
}

std::string notes_csv_rows(const Result& result) {
  if (result.error) return row_of_a_take_not_measured(result);
  std::string rows;
  for (const NoteResult& note : result.notes) rows += csv_row(note_fields(), NoteRow{result, note});
  return rows;
}

std::string habits_csv(const Result& result) {
  std::string rows = csv_header(habit_fields());
  for (const HabitRow& habit : result.habits) rows += csv_row(habit_fields(), HabitRowOf{result, habit});
  return rows;
}

}  // namespace firmus
