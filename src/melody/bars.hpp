// Bars and beats: numbers them as printed, and finds those that do not add up.
#pragma once
#include "parsed_melody.hpp"

namespace firmus::melody {

/// Sets bar and beat of every item under a meter. Warns of bars whose lengths are not the meter's. Short bars are right
/// where a bar is shared: the upbeat with the last bar, the end of a section with the begin of one played after it.
/// Without any bar line the meter counts the bars, and nothing can be wrong.
void count_bars(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings);

/// Asks about notes that stand outside the key twice or more and never as the key has them.
void check_key_signature(const ParsedMelody& parsed, Diagnostics& warnings);

}  // namespace firmus::melody
