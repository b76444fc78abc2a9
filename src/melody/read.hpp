// The steps of read_melody, for callers that need the ParsedMelody between them.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// Sets the order of the sections and the bars of what was read. Throws InputError with `errors`, after each step that
/// adds any, or where there are some already.
void lay_out(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings);

/// The parsed melody with its order and bars set. Throws InputError.
ParsedMelody parse_melody(std::string_view text, const std::string& file, Diagnostics& warnings);

/// The melody, except text, sha256 and warnings. Throws InputError.
Melody unroll_melody(const ParsedMelody& parsed, const std::string& file);

}  // namespace firmus::melody
