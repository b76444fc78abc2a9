// Where in the takes a fault happened: the notes that are worth hearing again.
#pragma once
#include <span>
#include <vector>

#include "faults.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {

/// The judged notes of all takes that are off the way the fault is, six at most and of three takes at most: the
/// furthest off. In the order they were sung: by date (takes without one first, as they were given), then by time.
std::vector<FaultPlace> fault_examples(std::span<const PracticeTake> takes, const LocatedFault& fault);

}  // namespace firmus::practice
