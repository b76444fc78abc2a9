// Tables of the notes of a take.
#pragma once
#include <string_view>

#include "firmus/result.hpp"
#include "html.hpp"

namespace firmus::page {

/// All notes in the order of the take. All ids begin with `prefix`, so that a page can show several takes.
void add_note_table(Html& html, const Result& result, std::string_view prefix);

/// The five notes that are furthest off, with their times.
void add_furthest(Html& html, const Result& result);

}  // namespace firmus::page
