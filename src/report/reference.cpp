#include <fmt/format.h>

#include <set>

#include "row_fields.hpp"

namespace firmus {
using namespace report;
namespace {

template <class Row>
std::string table_of(std::span<const Field<Row>> fields) {
  std::string table = "| CSV column | JSON key | unit | meaning |\n| --- | --- | --- | --- |\n";
  table += fmt::format("| {} |  |  | {} |\n", take_column, take_column_meaning);
  std::set<std::string_view> meanings;
  for (const Field<Row>& field : fields) {
    if (!meanings.insert(field.meaning).second) continue;  // a field listed twice is shown once
    std::string_view key = field.key;
    for (const Field<Row>& other : fields)
      if (key.empty() && other.meaning == field.meaning) key = other.key;
    table += fmt::format("| {} | {} | {} | {} |\n", field.column, key, field.unit, field.meaning);
  }
  return table;
}

}  // namespace

std::string field_reference() {
  return "## Notes: `notes.csv`, and `notes` in JSON\n\n" + table_of(note_fields()) +
         "\n## Habits: `habits.csv`, and `chronic` in JSON\n\n" + table_of(habit_fields());
}

}  // namespace firmus
