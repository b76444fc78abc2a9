// Takes sorted under the names of their notes, and the model that several of them make.
#pragma once
#include <span>
#include <vector>

#include "groups.hpp"
#include "several_takes_model.hpp"

namespace firmus::habits {

inline constexpr std::size_t fewest_judged = 8;  // two groups of four

using Names = std::vector<std::vector<std::vector<GroupName>>>;

/// The takes that can be used, sorted under names.
struct Sorted {
  std::vector<NamedTake> takes;
  std::vector<std::size_t> from;  ///< for each its place among the takes given
  std::vector<const Melody*> melodies;
  std::vector<std::size_t> first_take;  ///< for each melody, among the takes given
  Names names;
  std::vector<Group> groups;
  std::vector<std::size_t> looked_at;
};

/// Takes with fewer than `fewest` judged notes are left out.
Sorted sort_takes(std::span<const HabitTake> takes, std::size_t fewest);

/// The model of two takes or more; its groups are those looked at, in their order.
TakesModel model_of(const Sorted& sorted);

}  // namespace firmus::habits
