// A melody as CSV (`note,beats[,bar][,word][,phrase]`, columns in any order) -> ParsedMelody.
// A CSV has no headers, so there is no key and no tempo, and beats are quarter notes. With a `bar` column the meter is
// the most common length of a bar, if that is a whole number of quarters; otherwise there is no meter. A change of the
// number in `phrase` is a breath. A decimal comma is an error with every separator.
#pragma once
#include <optional>
#include <string_view>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// The separator of a CSV melody, which is , ; or tab; none unless the first line that is not blank names a column
/// `note`.
std::optional<char> csv_separator(std::string_view text);

/// Whether the first line that is not blank is a row of note and beats, so that the header is missing.
bool is_csv_without_header(std::string_view text);

ParsedMelody read_csv(std::string_view text, char separator, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::melody
