// The bars in which the notes of a habit are, in words.
#pragma once
#include <span>
#include <string>
#include <vector>

#include "firmus/habits.hpp"

namespace firmus::report {

/// "bars 3, 7, 11", "the upbeat, bar 2", "notes 4, 9" without bars. Of more than 8 the first 7 are named, then "and N
/// more".
std::string bars_in_words(const Melody& melody, std::span<const int> indices);

/// The written notes of a habit in the melody of `first_take`, the first take of that melody.
std::vector<int> indices_in(const SharedHabit& habit, std::size_t first_take);

}  // namespace firmus::report
