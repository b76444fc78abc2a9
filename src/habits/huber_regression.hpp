// Robust linear regression: Huber's M-estimator by iteratively reweighted least squares (Huber 1964; Huber 1981, ch.
// 7).
#pragma once
#include <optional>
#include <vector>

#include "design_matrix.hpp"

namespace firmus::habits {

/// Tuning constant: residuals count in full up to this many scales, and by their sign alone beyond. Larger: outliers
/// pull more; smaller: less efficient for normal errors (at 2 the efficiency is 99 %).
inline constexpr double huber_k = 2;
inline constexpr double min_scale_cents = 0.5;  ///< no voice is steadier, and no measurement more exact

struct HuberFit {
  std::vector<double> beta;  ///< coefficients, by column
  Column residual;
  Column winsorized;   ///< residuals clipped to huber_k scales
  double scale = 0;    ///< 1.4826 median |residual| sqrt(n / (n - p)): robust standard deviation of the errors
  QrFactorization qr;  ///< of the columns, unweighted
  std::size_t rows() const { return residual.size(); }
  std::size_t columns() const { return beta.size(); }
};

/// Regression of `y` on linearly independent columns, fewer than rows. Starts from ordinary least squares; the scale is
/// estimated anew in each iteration.
HuberFit fit_huber(const Column& y, const DesignMatrix& columns);

/// A coefficient, its standard error and degrees of freedom (rows minus columns).
struct EffectEstimate {
  double beta = 0, se = 0, df = 0;
};
/// Of one column of a fit. Asymptotic standard error with the correction for few rows (Huber 1973; Huber 1981,
/// section 7.6): equal to that of ordinary least squares when no residual is clipped.
EffectEstimate effect_estimate(const HuberFit& fit, std::size_t column);

}  // namespace firmus::habits
