// Examples of a fault in the takes, to listen to.
#pragma once
#include <span>
#include <vector>

#include "faults.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {

/// Judged notes of the fault that are off in its direction by at least 10 cents: the six largest errors, of at most
/// three takes. In the order sung: by date (takes without one first, as given), then by onset.
std::vector<FaultPlace> fault_examples(std::span<const PracticeTake> takes, const LocatedFault& fault);

}  // namespace firmus::practice
