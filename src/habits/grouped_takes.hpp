// Takes sorted under the names of their notes, and the model that several of them make.
#pragma once
#include <span>
#include <vector>

#include "groups.hpp"
#include "several_takes_model.hpp"

namespace firmus::habits {

inline constexpr std::size_t min_judged_notes = 8;  // two groups of four

using GroupNamesByMelody = std::vector<std::vector<std::vector<GroupName>>>;

/// The takes that can be used, sorted under names.
struct GroupedTakes {
  std::vector<TakeNotes> takes;
  std::vector<std::size_t> from;  ///< for each its place among the takes given
  std::vector<const Melody*> melodies;
  std::vector<std::size_t> first_take;  ///< for each melody, among the takes given
  GroupNamesByMelody names;
  std::vector<Group> groups;
  std::vector<std::size_t> tested_groups;
};

/// Takes with fewer than `fewest` judged notes are left out.
GroupedTakes group_takes(std::span<const HabitTake> takes, std::size_t min_notes);

/// The model of two takes or more; its groups are those looked at, in their order.
SeveralTakesModel several_takes_model(const GroupedTakes& grouped);

}  // namespace firmus::habits
