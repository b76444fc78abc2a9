// A melody as CSV -> ParsedMelody: a table of notes as performed (csv_performed.hpp), or one that people type,
// `note,beats[,bar][,word][,phrase]`, columns in any order, with rests and holds in rows of their own.
// A CSV has no headers, so there is no key and no tempo, and beats are quarter notes. With a `bar` column the meter is
// the most common length of a bar, if that is a whole number of quarters; otherwise there is no meter. A change of the
// number in `phrase` is a breath. A decimal comma is an error with every separator.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "parsed_melody.hpp"

namespace firmus::melody {

/// The separator of a CSV melody, which is , ; or tab; none unless the first line that is not blank names a column
/// `note` or `written`.
std::optional<char> csv_separator(std::string_view text);

/// Whether the first line that is not blank is a row of note and beats, so that the header is missing.
bool is_csv_without_header(std::string_view text);

/// A word as a cell has it, without the leading apostrophe that keeps spreadsheets from evaluating it. White space
/// inside becomes a no-break space, since a word is one syllable.
std::string word_of_csv(std::string text);

ParsedMelody read_csv(std::string_view text, char separator, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::melody
