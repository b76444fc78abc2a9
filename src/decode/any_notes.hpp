// The same decoding with "any notes" as its target: no melody, key or tempo, only where notes start.
#pragma once
#include <span>

#include "costs.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// Best chain of notes of free pitch; what sounds between them may be left out. `note_cost` is paid for each note.
Path best_any_notes(const Observations& observed, std::span<const Boundary> boundaries, const Costs& costs);

}  // namespace firmus::decode
