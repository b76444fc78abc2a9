// The search without a melody: no key and no tempo, only where notes begin.
#pragma once
#include <span>

#include "costs.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// The best sequence of notes of any pitch, by dynamic programming over boundaries. Each note has a fixed cost; sound
/// between notes may be left out without one.
Path best_any_notes(const Observations& observed, std::span<const Boundary> boundaries, const Costs& costs);

}  // namespace firmus::decode
