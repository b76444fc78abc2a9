// Middle values and spreads that a few wrong notes do not move.
#pragma once
#include <span>
#include <vector>

namespace firmus::habits {

/// Middle value, or the mean of the two middle ones; 0 for none.
double median(std::vector<double> values);

/// Median of the absolute values, as the standard deviation of a normal distribution around 0.
double spread_around_zero(std::span<const double> values);

/// Median of the slopes between all pairs with different x (Theil 1950; Sen 1968); 0 when there are none. Over 400
/// points each is paired with evenly chosen others, so that the work stays bounded.
double theil_sen_slope(std::span<const double> x, std::span<const double> y);

struct MeanAndSpread {
  double mean = 0;
  double sd = 0;  ///< with n - 1
};
/// Two passes with the correction of Chan, Golub and LeVeque 1983.
MeanAndSpread mean_and_spread(std::span<const double> values);

}  // namespace firmus::habits
