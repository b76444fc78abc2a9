// The notes of a drill as written, with the data and the buttons to play each note and the whole drill.
#pragma once
#include <string_view>

#include "firmus/practice.hpp"
#include "html.hpp"

namespace firmus::page {

/// The rows of the melody without its headers, and below them the buttons, hidden until the script shows them. The ids
/// of the notes begin with `prefix`: "drill-1-1-hold-note-0".
void add_drill_notes(Html& html, const Drill& drill, std::string_view prefix);

}  // namespace firmus::page
