// In which bars the notes of a habit stand, in words.
#pragma once
#include <span>
#include <string>
#include <vector>

#include "firmus/habits.hpp"

namespace firmus::report {

/// "bars 3, 7, 11", "the upbeat, bar 2", "notes 4, 9" without bars; of many the first, with how many more.
std::string bars_in_words(const Melody& melody, std::span<const int> indices);

/// The written notes of a habit in one melody (that of the first take with it).
std::vector<int> indices_in(const SharedHabit& habit, std::size_t first_take);

}  // namespace firmus::report
