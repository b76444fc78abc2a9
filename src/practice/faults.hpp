// The faults to practise, and for each a typical note.
#pragma once
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// A fault at the written note where it is most typical: the most common pair of note and note before it.
struct LocatedFault {
  FaultSource source = FaultSource::chronic;
  HabitRow row;
  const PracticeTake* take = nullptr;
  int index = 0;                   ///< written note of the take's melody
  std::optional<int> before;       ///< the written note it is reached from; none for the first
  std::vector<HabitPlace> places;  ///< all its written notes; `take` counts in the takes searched
};

/// At most `max_faults`: chronic habits in their order; if there are none the leaning ones; if there are none either
/// the written notes judged sharp or flat with the largest mean errors. No two have the same typical pair of notes.
std::vector<LocatedFault> find_faults(std::span<const PracticeTake> takes, int max_faults);

}  // namespace firmus::practice
