// Rows and fields of a CSV file (RFC 4180), with their places.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "problems.hpp"

namespace firmus::sheet {

struct Field {
  std::string text;  ///< unquoted, without white space around it
  Spot spot;
};
using Row = std::vector<Field>;

/// Rows that hold anything. Quoted fields may hold separators, doubled quotes and line ends.
std::vector<Row> split_csv(std::string_view text, char separator, Problems& errors);

}  // namespace firmus::sheet
