// The drills of one fault, from easy to hard.
#pragma once
#include <optional>
#include <vector>

#include "faults.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {

/// In this order: the target held; approached by shrinking errors from the side where it is missed; repeated, or at the
/// end of its phrase, where that is the fault; against tonic and triad, also in other keys; the leap filled with its
/// scale steps, then alone; slowly there and back; the same interval from other notes; the phrase that contains it,
/// three times over, slowly and at tempo. Drills that need notes outside the range, or do not apply to the fault, are
/// left out.
std::vector<Drill> make_drills(const LocatedFault& fault, const std::optional<NoteRange>& range);

}  // namespace firmus::practice
