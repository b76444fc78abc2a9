// Option values: numbers, choices, dates, ids, paths. All functions throw InputError naming the option.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "firmus/melody.hpp"

namespace firmus::cli {

struct Limits {
  double lowest = 0;
  double highest = 0;
  bool above_lowest = false;  ///< `lowest` itself is outside
};

/// A finite decimal number within the limits; "nan", "inf", hexadecimal, blanks and "12,5" are rejected.
double number_value(std::string_view option, std::string_view text, const Limits& limits);
int whole_value(std::string_view option, std::string_view text, int lowest, int highest);

/// Its index in `choices`.
std::size_t choice_value(std::string_view option, std::string_view text, std::span<const std::string_view> choices);

/// A day of the calendar, YYYY-MM-DD.
std::string date_value(std::string_view option, std::string_view text);

/// An id: 1 to 64 bytes of UTF-8, without control characters, / \ : * ? " < > | and a leading dot.
std::string id_value(std::string_view option, std::string_view text);

/// A note name with its octave, such as F#4.
SpelledPitch note_value(std::string_view option, std::string_view text);

/// A key, such as "G major" or "f# minor".
/// "9-16", "9"
BarRange bars_value(std::string_view option, std::string_view text);
Key key_value(std::string_view option, std::string_view text);

/// A path: not empty.
std::string path_value(std::string_view option, std::string_view text);

}  // namespace firmus::cli
