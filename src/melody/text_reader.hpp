// The melody text format -> Sheet.
#pragma once
#include <string_view>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// Errors and warnings go to the collectors; what could be read is returned all the same.
ParsedMelody read_text(std::string_view text, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::melody
