// Converts a Melody back to a ParsedMelody, for the writers.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// Parses the text of the melody again, if that still has these notes: sections, order and the passes of words are then
/// kept. Otherwise builds one from the notes, with one meter, and with sections only if none is played twice. Title,
/// tuning and the other header values are not set; take them from the melody.
ParsedMelody parsed_melody_of(const Melody& melody);

}  // namespace firmus::melody
