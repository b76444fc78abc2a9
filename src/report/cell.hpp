// One value of a table, and how it is written in CSV and JSON.
#pragma once
#include <fmt/format.h>

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::report {

using Json = nlohmann::ordered_json;

/// Numbers of decimals written, by unit.
inline constexpr int cents_decimals = written_cents_decimals, seconds_decimals = 3, hz_decimals = 4, share_decimals = 4,
                     p_decimals = 6;

/// A number and the decimals to which it is rounded; `trimmed` removes trailing zeros in text ("1.5", not "1.5000").
struct Number {
  double value = 0;
  int decimals = 0;
  bool trimmed = false;
};

/// Absent (empty in CSV, null in JSON), text, integer, flag (yes or no in CSV), number, interval, or a list.
using Cell = std::variant<std::monostate, std::string, int, bool, Number, std::pair<Number, Number>, std::vector<int>,
                          std::vector<std::string>, std::vector<std::optional<Number>>>;

/// The number as text, with a decimal point in any locale and no minus sign on zero. Not finite: empty.
std::string to_text(const Number& number);

/// The same number as a JSON number; not finite: null.
Json to_json(const Number& number);

/// The text of a CSV cell before quoting. Lists are joined by a space (numbers) or "; " (texts).
std::string to_text(const Cell& cell);
Json to_json(const Cell& cell);

/// `text` as valid UTF-8: invalid bytes become \xNN; ASCII control characters are kept.
std::string as_utf8(std::string_view text);

/// An RFC 4180 cell, quoted if necessary. Text that a spreadsheet would run as a formula gets a leading apostrophe.
std::string csv_cell(const Cell& cell);

template <class T>
Cell cell_of(const std::optional<T>& value) {
  return value ? Cell(*value) : Cell();
}
inline Cell cell_of(const std::optional<double>& value, int decimals) {
  return value ? Cell(Number{*value, decimals}) : Cell();
}

}  // namespace firmus::report
