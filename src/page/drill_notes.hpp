// The notes of a drill as they are written, each to be heard, and the drill as a whole.
#pragma once
#include <string_view>

#include "firmus/practice.hpp"
#include "html.hpp"

namespace firmus::page {

/// The rows of the melody without its headers, and below them, shown by the script alone, what plays them. `prefix`
/// begins the ids of the notes: "drill-1-1-hold-note-0".
void add_drill_notes(Html& html, const Drill& drill, std::string_view prefix);

}  // namespace firmus::page
