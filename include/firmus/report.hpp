// A Result as text, CSV and JSON. One ordered table of fields feeds CSV header, JSON keys and text columns.
#pragma once
#include <span>
#include <string>
#include <string_view>

#include "firmus/result.hpp"

namespace firmus {

std::string_view program_version();

std::string_view to_string(HabitDecision decision);  ///< "chronic" "leaning"

/// RFC 8259, schema firmus.take/1, keys in a fixed order, one line without a line break at its end.
std::string as_json(const Result& result);
/// The JSON Schema of that object.
std::string_view json_schema();

std::string notes_csv_header();  ///< with CRLF (RFC 4180)
/// One row for each note; for a take that was not measured one row with `take` and status `not_measured`.
std::string notes_csv_rows(const Result& result);
std::string habits_csv(const Result& result);  ///< header and rows

/// What every column and key means, with its unit: a Markdown table made from the table of fields.
std::string field_reference();

enum class Colour { never, ansi };

/// Why a take may not be the melody: "about 31 % of its steps, from note to note, came as written". Not the share of
/// notes found, which can be all: notes of about the right number and order can be found in any melody.
std::string doubt_in_words(const Result& result);
/// The summary for people, at most 78 columns wide. `next_command` is shown in the last line.
std::string as_text(const Result& result, Colour colour, std::string_view next_command);

}  // namespace firmus
