// The melody text format -> ParsedMelody.
#pragma once
#include <string_view>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// Adds errors and warnings to the collectors and returns whatever could be read.
ParsedMelody read_text(std::string_view text, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::melody
