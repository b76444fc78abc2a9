// From what the model shows to what is said: chronic, leaning, or only counted.
#pragma once
#include <vector>

#include "forward_selection.hpp"
#include "groups.hpp"

namespace firmus::habits {

struct Said {
  std::size_t group = 0;  ///< in `groups`
  HabitRow row;           ///< decision, sizes, probabilities, other names; counts and notes are still to be filled in
};

/// `looked_at`: for each group of the model its place in `groups`, `shares` theirs.
std::vector<Said> decide(const Model& model, std::span<const Group> groups, std::span<const std::size_t> looked_at);

/// What is only counted: intervals too rare to be looked at.
std::vector<Said> count_the_rest(std::span<const Group> groups);

}  // namespace firmus::habits
