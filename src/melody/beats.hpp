// Numbers of beats as people write them: 2, 0.5, 1/3, 3/2; always exact.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "firmus/melody.hpp"

namespace firmus::melody {

/// What is wrong with a token, and how to correct it.
struct TokenError {
  std::string what, remedy;
};

/// Not negative; at most nine digits before and after the point or slash.
std::variant<Fraction, TokenError> parse_beats(std::string_view text);

/// A whole number within a range, with an optional sign.
std::optional<int> parse_whole(std::string_view text, int lowest, int highest);

std::string beats_text(const Fraction& beats);  ///< "2", "3/2"; parse_beats gives the same value

/// "2", "1.5", "0.125"; empty when it needs more decimals. `beats` must not be negative.
std::string decimal_text(const Fraction& beats, int most_decimals);

}  // namespace firmus::melody
