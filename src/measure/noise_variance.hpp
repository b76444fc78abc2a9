// What the errors of single frames leave in a note's centre.
#pragma once
#include <vector>

#include "note_series.hpp"

namespace firmus::measure {

/// Variance of the mean over the part from the errors of its frames, which show as roughness: how far a frame lies from
/// halfway between those `lag` frames before and after it. Neighbouring frames overlap; a lag of 1 shows what the
/// frames disagree on, one of 4 (20 ms) also the flutter that each of them smooths.
double noise_variance_of_mean(const std::vector<double>& cents, Part part, std::size_t lag);

}  // namespace firmus::measure
