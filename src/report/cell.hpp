// One value of a table: what it is, and how it is written in CSV and JSON.
#pragma once
#include <fmt/format.h>

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace firmus::report {

using Json = nlohmann::ordered_json;

/// Decimals of what is written.
inline constexpr int cents_decimals = 1, seconds_decimals = 3, hz_decimals = 4, share_decimals = 4, p_decimals = 6;

/// A number rounded to what it deserves; `trimmed` leaves off zeros at the end in text ("1.5", not "1.5000").
struct Number {
  double value = 0;
  int decimals = 0;
  bool trimmed = false;
};

/// Not measured (empty, null), text, a whole number, yes or no, a number, a pair of numbers, a list.
using Cell = std::variant<std::monostate, std::string, int, bool, Number, std::pair<Number, Number>, std::vector<int>,
                          std::vector<std::string>, std::vector<std::optional<Number>>>;

/// The number as text with a decimal point whatever the locale; never "-0.0". Not finite: empty.
std::string to_text(const Number& number);

/// The same number as a JSON number; not finite: null.
Json to_json(const Number& number);

/// For a CSV cell before quoting: lists are joined by a space (numbers) or "; " (words).
std::string to_text(const Cell& cell);
Json to_json(const Cell& cell);

/// `text` as valid UTF-8: stray bytes become \xNN; line breaks and tabs stay.
std::string as_utf8(std::string_view text);

/// An RFC 4180 cell: quoted where needed; text that a spreadsheet would run gets a leading apostrophe.
std::string csv_cell(const Cell& cell);

template <class T>
Cell cell_of(const std::optional<T>& value) {
  return value ? Cell(*value) : Cell();
}
inline Cell cell_of(const std::optional<double>& value, int decimals) {
  return value ? Cell(Number{*value, decimals}) : Cell();
}

}  // namespace firmus::report
