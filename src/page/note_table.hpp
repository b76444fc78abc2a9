// Every note of a take as a table.
#pragma once
#include <string_view>

#include "firmus/result.hpp"
#include "html.hpp"

namespace firmus::page {

/// `prefix` keeps the ids of several takes of a page apart.
void add_note_table(Html& html, const Result& result, std::string_view prefix);

/// The five furthest notes, when to listen.
void add_furthest(Html& html, const Result& result);

}  // namespace firmus::page
