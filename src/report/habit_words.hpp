// Groups of notes in words, by their names in tables.
#pragma once
#include <string>
#include <string_view>

#include "report/words.hpp"

namespace firmus::report {

/// A group in words, from the full name that tables have: "interval M6 up", "degree 6".
std::string full_name_in_words(std::string_view full);

}  // namespace firmus::report
