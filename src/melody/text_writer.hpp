// ParsedMelody -> the melody text format.
#pragma once
#include <string>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// The notes, sections and order of `parsed`; title, tuning, concert pitch, reference and drill of `head`.
std::string text_of(const ParsedMelody& parsed, const Melody& head);

}  // namespace firmus::melody
