#include "csv_table.hpp"

#include <fmt/format.h>

#include "base/ascii.hpp"

namespace firmus::studio {
namespace {

constexpr std::size_t largest_bytes = 1 << 20;

[[noreturn]] void reject(const std::string& file, SourcePosition spot, std::string what, std::string remedy) {
  throw InputError(Problem{{file, spot.line, spot.column}, std::move(what), std::move(remedy)});
}

/// Splits the first line only: trying all separators must not parse a large file three times.
std::vector<CsvField> header_of(std::string_view text, char separator) {
  Diagnostics ignored("", "error");
  while (!text.empty() && (text.front() == '\n' || text.front() == '\r')) text.remove_prefix(1);
  const auto rows = split_csv(text.substr(0, text.find_first_of("\r\n")), separator, ignored);
  return rows.empty() ? std::vector<CsvField>{} : rows.front();
}

bool is_one_column(std::string_view text) {
  for (const char separator : {',', ';', '\t'})
    if (header_of(text, separator).size() != 1) return false;
  return true;
}

std::optional<std::size_t> place_in(const std::vector<CsvField>& header, std::string_view name) {
  for (std::size_t i = 0; i < header.size(); ++i)
    if (lower_ascii(header[i].text) == name) return i;
  return std::nullopt;
}

}  // namespace

CsvTable::CsvTable(std::string_view text, const std::string& file, const std::vector<std::string_view>& needed,
                   Diagnostics& problems, OnlyColumn only_column) {
  if (text.size() > largest_bytes) reject(file, {}, "is larger than 1 MiB, the most a CSV file may have", "split it");
  text = without_byte_order_mark(text);
  std::optional<char> separator;
  std::string_view found;
  for (const std::string_view name : needed)
    for (const char candidate : {',', ';', '\t'})
      if (!separator && place_in(header_of(text, candidate), name)) separator = candidate, found = name;
  const bool one_column = !separator && only_column == OnlyColumn::accept && is_one_column(text);
  if (!separator && !one_column)
    reject(file, {1, 1}, fmt::format("no column is called \"{}\"", needed.front()),
           fmt::format("write the names of the columns into the first line, \"{}\" among them", needed.front()));
  rows_ = split_csv(text, separator.value_or(','), problems);
  header_ = std::move(rows_.front());
  rows_.erase(rows_.begin());
  if (one_column) return;
  needed_column_ = *place_in(header_, found);
  for (std::size_t i = needed_column_ + 1; i < header_.size(); ++i)
    if (lower_ascii(header_[i].text) == found)
      reject(file, header_[i].position, fmt::format("a second column is called \"{}\"", found), "rename one of them");
}

std::optional<std::size_t> CsvTable::column(std::string_view name) const {
  return place_in(header_, name);
}

CsvField CsvTable::at(std::size_t row, std::size_t column) const {
  const auto& fields = rows_[row];
  return column < fields.size() ? fields[column] : CsvField{"", fields.back().position};
}

}  // namespace firmus::studio
