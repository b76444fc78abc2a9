// Which faults are practised, and at which note of which take each is met.
#pragma once
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// A fault where it is most often met: the written note that is off, and the one it is reached from.
struct LocatedFault {
  FaultSource source = FaultSource::chronic;
  HabitRow row;
  const PracticeTake* take = nullptr;
  int index = 0;                   ///< written note of the take's melody
  std::optional<int> before;       ///< the written note it is reached from; none for the first
  std::vector<HabitPlace> places;  ///< all written notes that it is about; a take is one of those looked at
};

/// At most `most`: what is chronic, the surest first; else what leans; else the written notes furthest off on average,
/// beyond the tolerance. Two faults are never about the same written note.
std::vector<LocatedFault> find_faults(std::span<const PracticeTake> takes, int most);

}  // namespace firmus::practice
