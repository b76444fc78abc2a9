// Groups of notes in words.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"

namespace firmus::report {

/// "rising major sixths", "the 6th degree", "F#4", "the low notes", "first notes of phrases", "notes reached by leap".
std::string group_in_words(std::string_view group, std::string_view name, const std::optional<Direction>& direction);
std::string group_in_words(const HabitRow& habit);

/// The same from the full name that tables have: "interval M6 up", "degree 6".
std::string full_name_in_words(std::string_view full);

}  // namespace firmus::report
