// Vibrato in a note too short to fit it: what it may have added to the mean, weighed over everything that is plausible.
#pragma once
#include "vibrato.hpp"

namespace firmus::measure {

/// Bayesian average over "no vibrato" and sines of 4.5 to 7.5 Hz, with wander of f0 as a Gauss-Markov process beside
/// them (a Gaussian process regression; Rasmussen & Williams 2006, chapter 2). Costs the cube of the length: at most
/// 50 points are used.
VibratoMean weigh_short_vibrato(const NoteSeries& series, Part part);

}  // namespace firmus::measure
