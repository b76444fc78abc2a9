// Numbers of beats as people write them: 2, 0.5, 1/3, 3/2; always exact.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "firmus/melody.hpp"

namespace firmus::melody {

/// What is wrong with a token, and what would be right.
struct TokenError {
  std::string what, remedy;
};

/// Up to nine figures on either side; not negative.
std::variant<Fraction, TokenError> parse_beats(std::string_view text);

/// A whole number within a range, with an optional sign.
std::optional<int> parse_whole(std::string_view text, int lowest, int highest);

std::string beats_text(const Fraction& beats);  ///< "2", "3/2": reads back the same

/// "2", "1.5", "0.125"; empty when it has more decimals. Not negative.
std::string decimal_text(const Fraction& beats, int most_decimals);

}  // namespace firmus::melody
