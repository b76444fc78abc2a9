// One token of music: NOTE, NOTE:BEATS, NOTE:BEATS:MARK, rest:BEATS, hold:BEATS.
#pragma once
#include <string_view>
#include <variant>

#include "beats.hpp"
#include "parsed_melody.hpp"

namespace firmus::melody {

/// The item without its position and without the key, meter and tempo in effect there.
std::variant<Item, TokenError> parse_note_token(std::string_view token);

}  // namespace firmus::melody
