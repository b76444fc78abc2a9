// Rows and fields of a CSV file written by a user (RFC 4180), with their positions.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostics.hpp"

namespace firmus {

struct CsvField {
  std::string text;  ///< unquoted, without white space around it
  SourcePosition position;
};

/// The rows that are not blank. Quoted fields may hold separators, doubled quotes and line ends.
std::vector<std::vector<CsvField>> split_csv(std::string_view text, char separator, Diagnostics& errors);

/// The text without a UTF-8 byte order mark.
std::string_view without_byte_order_mark(std::string_view text);

/// Spaces and tabs.
constexpr bool is_space(char c) {
  return c == ' ' || c == '\t';
}
std::string_view trimmed(std::string_view text);

}  // namespace firmus
