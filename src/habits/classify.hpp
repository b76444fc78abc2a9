// From tests to decisions: chronic, leaning, or counted only.
#pragma once
#include <vector>

#include "forward_selection.hpp"
#include "groups.hpp"

namespace firmus::habits {

struct HabitReport {
  std::size_t group = 0;  ///< in `groups`
  HabitRow row;           ///< decision, size, p and other names; counts and notes are filled in by the caller
};

/// Selects groups and classifies all that were tested: chronic ones in the order of selection, leaning ones by adjusted
/// p, then the intervals that remain. `tested_groups`: for each group of the model its place in `groups`.
std::vector<HabitReport> classify(const SelectionModel& model, std::span<const Group> groups,
                                  std::span<const std::size_t> tested_groups);

/// Intervals with too few notes to be tested.
std::vector<HabitReport> report_untested(std::span<const Group> groups);

}  // namespace firmus::habits
