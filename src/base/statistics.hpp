// Middles, spreads and slopes: those that a few wrong values do not move, and the plain mean and standard deviation.
#pragma once
#include <span>
#include <utility>
#include <vector>

namespace firmus {

/// Middle value (mean of the two middle ones); 0 for none. The copy is what gets reordered.
double median(std::vector<double> values);

/// Standard deviation of a normal distribution with this median absolute deviation from `centre`.
double mad_sigma(std::span<const double> values, double centre);

/// Tukey's biweight (redescending, 95 % efficient at c = 4.685) started from the median, scale the robust spread but at
/// least `least_spread`: values further than 4.685 scales away do not count at all.
double biweight_centre(std::span<const double> values, double least_spread);

/// Median of the slopes between all pairs with different x (Theil 1950, Sen 1968); 0 when there are none. Over 400
/// points each is paired with evenly chosen others, so that the work stays bounded.
double theil_sen_slope(std::span<const double> x, std::span<const double> y);

/// Slope as the median of slopes, as above, with the distribution-free interval of Sen
/// from the normal approximation to Kendall's S, its variance multiplied by `variance_factor` (1 for independent
/// errors).
struct SlopeEstimate {
  double slope = 0;
  std::pair<double, double> ci95;
};
SlopeEstimate theil_sen(std::span<const double> x, std::span<const double> y, double variance_factor);

struct MeanAndSd {
  double mean = 0;
  double sd = 0;  ///< with n - 1; 0 for one value
};
/// Two passes with the correction of Chan, Golub and LeVeque 1983.
MeanAndSd mean_and_sd(std::span<const double> values);

}  // namespace firmus
