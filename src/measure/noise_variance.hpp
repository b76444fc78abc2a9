// Second-difference noise variance: what the errors of single frames leave in a note's pitch.
#pragma once
#include <vector>

#include "note_series.hpp"

namespace firmus::measure {

/// Variance in cents^2 of the mean over the part from the errors of its frames, estimated from second differences
/// x[i-lag] - 2 x[i] + x[i+lag], whose variance is 6 times that of a frame's independent error (von Neumann's
/// successive differences, one order higher: a straight slope cancels). Neighbouring frames overlap, so 8 frames count
/// as one. A lag of 1 sees errors from frame to frame; a lag of 4 (20 ms) also the flutter that each frame smooths.
double noise_variance_of_mean(const std::vector<double>& cents, Part part, std::size_t lag);

}  // namespace firmus::measure
