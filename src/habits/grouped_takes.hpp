// The takes that can be used, their notes sorted into groups, and the selection model of several takes.
#pragma once
#include <span>
#include <vector>

#include "groups.hpp"
#include "several_takes_model.hpp"

namespace firmus::habits {

inline constexpr std::size_t min_judged_notes = 8;  ///< of a take among several: two groups of four

struct GroupedTakes {
  std::vector<TakeNotes> takes;
  std::vector<std::size_t> source;      ///< for each take its position among the takes given
  std::vector<const Melody*> melodies;  ///< by melody number: one for all takes of the same text
  std::vector<std::size_t> first_take;  ///< by melody number: its first take, among the takes given
  GroupNamesByMelody names;
  std::vector<Group> groups;
  std::vector<std::size_t> tested_groups;  ///< those of `groups` with an alpha weight
};

/// Takes with fewer than `min_notes` judged notes are left out.
GroupedTakes group_takes(std::span<const HabitTake> takes, std::size_t min_notes);

/// Errors of the notes of a group in cents, by take; an empty list where a take has none.
std::vector<std::vector<double>> errors_by_take(const Group& group, const GroupedTakes& grouped);

/// The model of two or more takes; its groups are the tested ones, in their order.
SeveralTakesModel several_takes_model(const GroupedTakes& grouped);

}  // namespace firmus::habits
