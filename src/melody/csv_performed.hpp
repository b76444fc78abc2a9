// A table of notes as performed, one row each, as `firmus melody --format csv` prints it -> ParsedMelody.
#pragma once
#include <vector>

#include "base/csv.hpp"
#include "parsed_melody.hpp"

namespace firmus::melody {

/// Whether the first row names the columns of such a table: `written`, `start_beats` and `beats`.
bool is_performed_table(const std::vector<CsvField>& header);

/// Rests are what lies between the end of a note and the next start. Other columns that are read: bar, beat,
/// sounding_midi, word, grace, fermata, phrase, maybe, meter; any more are passed over. Without `meter`, beats are
/// quarter notes.
ParsedMelody read_performed_table(const std::vector<std::vector<CsvField>>& rows, Diagnostics& errors,
                                  Diagnostics& warnings);

}  // namespace firmus::melody
