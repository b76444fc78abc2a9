// Robust regression (Huber 1964, by reweighted least squares): notes far off count only as far as the clip.
#pragma once
#include <optional>
#include <vector>

#include "design_matrix.hpp"

namespace firmus::habits {

inline constexpr double huber_k = 2;            ///< in scales; larger: outliers pull more, smaller: normal notes lose
inline constexpr double min_scale_cents = 0.5;  ///< no voice is steadier, no measurement better

struct HuberFit {
  std::vector<double> beta;
  Column residual;
  Column winsorized;   ///< residual, clipped to huber_k scales
  double scale = 0;    ///< 1.4826 median |residual| sqrt(n / (n - p))
  QrFactorization qr;  ///< of the columns, unweighted
  std::size_t rows() const { return residual.size(); }
  std::size_t columns() const { return beta.size(); }
};

/// y on `columns`, which must be independent and fewer than the rows. Starts from least squares.
HuberFit fit_huber(const Column& y, const std::vector<Column>& columns);

/// Size of a column's effect in a fit, with its standard error (Huber 1973, with the correction for few rows).
struct EffectEstimate {
  double beta = 0, se = 0, df = 0;
};
EffectEstimate effect_estimate(const HuberFit& fit, std::size_t column);

}  // namespace firmus::habits
