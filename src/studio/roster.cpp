#include <fmt/format.h>

#include <unordered_map>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "csv_table.hpp"
#include "firmus/studio.hpp"

namespace firmus {

std::vector<std::string> read_roster(std::string_view csv, const std::string& file) {
  Diagnostics problems(file, "error");
  const studio::CsvTable table(csv, file, {"student", "name"}, problems, studio::CsvTable::OnlyColumn::accept);
  std::vector<std::string> ids;
  std::unordered_map<std::string, SourcePosition> seen;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const CsvField field = table.at(row, table.needed_column());
    if (const std::string fault = fault_of_id(field.text); !fault.empty()) {
      problems.add(field.position, fmt::format("the id {} {}", in_quotes(field.text), fault),
                   "give 1 to 64 bytes of UTF-8 without these, such as s-01");
      continue;
    }
    const auto [at, is_new] = seen.try_emplace(lower_ascii(field.text), field.position);
    if (!is_new)
      problems.add(field.position,
                   fmt::format("the id {} is that of line {} too", in_quotes(field.text), at->second.line),
                   "give every student an id of their own; capitals do not count");
    ids.push_back(field.text);
  }
  if (table.rows() == 0) problems.add({}, "has no student", "write an id into each row");
  problems.throw_if_any();
  return ids;
}

std::vector<std::string> read_addresses(std::string_view csv, const std::string& file) {
  Diagnostics problems(file, "error");
  const studio::CsvTable table(csv, file, {"student", "name"}, problems, studio::CsvTable::OnlyColumn::accept);
  std::optional<std::size_t> column = table.column("email");
  if (!column) column = table.column("e-mail");
  std::vector<std::string> addresses;
  for (std::size_t row = 0; row < table.rows(); ++row)
    addresses.push_back(column ? display_name(table.at(row, *column).text) : "");
  return addresses;
}

}  // namespace firmus
