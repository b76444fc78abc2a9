// Numbers bars and beats as printed, and finds bars whose lengths do not fit the meter.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// Sets bar and beat of every item under a meter. Warns of bars whose length differs from the meter. Two short bars are
/// correct when they complete each other: the upbeat and the last bar, or the end of a section and the start of the
/// next one played. Without any bar line, bars are counted by the meter, and there is no warning.
void count_bars(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings);

/// Warns of a letter that is written at least twice as a natural and never with the accidental of the key.
void check_key_signature(const ParsedMelody& parsed, Diagnostics& warnings);

}  // namespace firmus::melody
