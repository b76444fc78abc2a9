// A melody as CSV (`note,beats[,bar][,word][,phrase]`, columns in any order) -> Sheet.
//
// It has no headers, so no key, no tempo, and its beats are quarter notes. With a `bar` column the meter is the
// commonest length of its bars, where that is a whole number of quarters; without, there is none. `phrase` numbers only
// part the phrases: a change is a breath. A decimal comma is an error under every separator.
#pragma once
#include <optional>
#include <string_view>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// The separator of a CSV melody: one of , ; and tab, when the first line that holds anything names a column `note`.
std::optional<char> csv_separator(std::string_view text);

/// Whether the first line that holds anything is a row of note and beats with no column names above it.
bool is_csv_without_header(std::string_view text);

ParsedMelody read_csv(std::string_view text, char separator, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::melody
