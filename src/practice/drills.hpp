// The drills of one fault, from easy to hard.
#pragma once
#include <optional>
#include <vector>

#include "faults.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {

/// Target held; closing in on it from the side that is missed; the leap filled with its steps, then bare; slow, both
/// ways; from other starting notes; the phrase that holds it, slow, then at tempo. Those that need notes outside the
/// range, or make no sense for the fault, are left out.
std::vector<Drill> make_drills(const LocatedFault& fault, const std::optional<NoteRange>& range);

}  // namespace firmus::practice
