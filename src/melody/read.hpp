// The two halves of read_melody, for whoever needs the sheet itself.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// The sheet with its order and bars. Throws InputError.
ParsedMelody parse_melody(std::string_view text, const std::string& file, Diagnostics& warnings);

/// The notes of a sheet and everything said about them but text, sha256 and warnings. Throws InputError.
Melody unroll_melody(const ParsedMelody& parsed, const std::string& file);

}  // namespace firmus::melody
