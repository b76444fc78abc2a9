// How far the centre of a note may be from the truth.
#pragma once
#include "steady_part.hpp"

namespace firmus::measure {

/// Standard error in cents of the mean of `vibrato_removed_cents` over the steady part, from what the data show: how
/// the mean moves when the ends of the part do, what it would be had a scoop not been cut, and what the errors of the
/// frames leave in it.
double standard_error(const std::vector<double>& vibrato_removed_cents, const SteadyPart& steady);

}  // namespace firmus::measure
