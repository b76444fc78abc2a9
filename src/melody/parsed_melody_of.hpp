// Back from a Melody to a Sheet, for whoever writes it.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// The sheet that the melody was read from, when its text still has these notes: then sections, order and the passes of
/// words are kept. Else one made of the notes: its bars must keep one meter, and sections stay only while none is
/// played twice. Title, tuning and the like are to be taken from the melody.
ParsedMelody parsed_melody_of(const Melody& melody);

}  // namespace firmus::melody
