// Groups of notes in words.
#pragma once
#include <string>
#include <string_view>

#include "report/words.hpp"

namespace firmus::report {

/// The group in words, from its full name as in tables: "interval M6 up", "degree 6".
std::string full_name_in_words(std::string_view full);

}  // namespace firmus::report
