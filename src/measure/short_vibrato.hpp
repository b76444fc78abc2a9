// Vibrato in a note of under two cycles, where a single fitted sine is too sure of its phase.
#pragma once
#include "vibrato.hpp"

namespace firmus::measure {

/// Posterior standard deviation in cents of what vibrato adds to the mean of f0 over the part. Bayesian model average
/// over "no vibrato" and sines of 2.8 to 7.6 Hz, with drift of f0 as a Gaussian process beside them (Matern 3/2
/// covariance; Rasmussen & Williams 2006, chapter 2). The cost is cubic in the number of points: at most 50 are used.
double short_vibrato_mean_se(const NoteSeries& series, Part part);

}  // namespace firmus::measure
