// The validators of option values: numbers, names of choices, dates, ids, paths. All throw InputError naming the
// option.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "firmus/theory.hpp"

namespace firmus::cli {

struct Limits {
  double lowest = 0;
  double highest = 0;
  bool above_lowest = false;  ///< `lowest` itself is outside
};

/// A finite decimal number within the limits, with a decimal point: no "nan", "inf", hexadecimal, blanks or "12,5".
double number_value(std::string_view option, std::string_view text, const Limits& limits);
int whole_value(std::string_view option, std::string_view text, int lowest, int highest);

/// Which of `choices` it is, by place.
std::size_t choice_value(std::string_view option, std::string_view text, std::span<const std::string_view> choices);

/// A day of the calendar, YYYY-MM-DD.
std::string date_value(std::string_view option, std::string_view text);

/// An id: 1 to 64 bytes of UTF-8, no control characters, none of / \ : * ? " < > |, no leading dot.
std::string id_value(std::string_view option, std::string_view text);

/// A note name with its octave, such as F#4.
SpelledPitch note_value(std::string_view option, std::string_view text);

/// A path: not empty.
std::string path_value(std::string_view option, std::string_view text);

}  // namespace firmus::cli
