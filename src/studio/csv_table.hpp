// A CSV table with a header, its columns found by name.
#pragma once
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.hpp"

namespace firmus::studio {

class CsvTable {
 public:
  /// What to do with a table of one column whose header is none of the needed ones.
  enum class OnlyColumn { refuse, accept };
  /// `needed`: names of a column, any of which will do. The separator is the first of comma, semicolon and tab that
  /// gives a header with one of them. Throws InputError when the text exceeds 1 MiB or the column is missing or named
  /// twice; syntax errors go to `problems`.
  CsvTable(std::string_view text, const std::string& file, const std::vector<std::string_view>& needed,
           Diagnostics& problems, OnlyColumn only_column = OnlyColumn::refuse);

  /// Number of rows, without the header.
  std::size_t rows() const { return rows_.size(); }
  /// `name` in lower case; the header is compared without case.
  std::optional<std::size_t> column(std::string_view name) const;
  /// The column that was needed: the first of those names that is there.
  std::size_t needed_column() const { return needed_column_; }
  /// The field; an empty one, with the position of the last field, when the row is too short.
  CsvField at(std::size_t row, std::size_t column) const;
  SourcePosition spot_of(std::size_t row) const { return rows_[row].front().position; }

 private:
  std::vector<CsvField> header_;
  std::vector<std::vector<CsvField>> rows_;
  std::size_t needed_column_ = 0;
};

}  // namespace firmus::studio
