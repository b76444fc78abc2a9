// From what the model shows to what is said: chronic, leaning, or only counted.
#pragma once
#include <vector>

#include "forward_selection.hpp"
#include "groups.hpp"

namespace firmus::habits {

struct HabitReport {
  std::size_t group = 0;  ///< in `groups`
  HabitRow row;           ///< decision, sizes, probabilities, other names; counts and notes are still to be filled in
};

/// `tested_groups`: for each group of the model its place in `groups`, `shares` theirs.
std::vector<HabitReport> classify(const SelectionModel& model, std::span<const Group> groups,
                                  std::span<const std::size_t> tested_groups);

/// What is only counted: intervals too rare to be looked at.
std::vector<HabitReport> report_untested(std::span<const Group> groups);

}  // namespace firmus::habits
