// Medians and spreads that a few wrong values do not move.
#pragma once
#include <span>
#include <utility>
#include <vector>

namespace firmus::measure {

/// Middle value (mean of the two middle ones); 0 for none. The copy is what gets reordered.
double median(std::vector<double> values);

/// Standard deviation of a normal distribution with this median absolute deviation from `centre`.
double robust_spread(std::span<const double> values, double centre);

/// Tukey's biweight (redescending, 95 % efficient at c = 4.685) started from the median, scale the robust spread but at
/// least `least_spread`: values further than 4.685 scales away do not count at all.
double biweight_centre(std::span<const double> values, double least_spread);

/// Slope as the median of slopes between all pairs (Theil 1950, Sen 1968), with the distribution-free interval of Sen
/// from the normal approximation to Kendall's S, its variance multiplied by `variance_factor` (1 for independent
/// errors). Over 400 points each is paired with evenly chosen others, so that the work stays bounded.
struct SlopeEstimate {
  double slope = 0;
  std::pair<double, double> ci95;
};
SlopeEstimate theil_sen(std::span<const double> x, std::span<const double> y, double variance_factor);

}  // namespace firmus::measure
