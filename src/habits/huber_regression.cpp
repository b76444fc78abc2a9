#include "huber_regression.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::habits {
namespace {

constexpr int max_iterations = 100;
constexpr double convergence_scales = 1e-7;  // largest change of a coefficient, in scales

Column residual_of(const Column& y, const DesignMatrix& columns, const std::vector<double>& beta) {
  Column residual = y;
  for (std::size_t j = 0; j < columns.size(); ++j)
    for (std::size_t k = 0; k < y.size(); ++k) residual[k] -= beta[j] * columns[j][k];
  return residual;
}

double scale_of(const Column& residual, std::size_t columns) {
  const auto n = static_cast<double>(residual.size()), p = static_cast<double>(columns);
  return std::max(min_scale_cents, mad_sigma(residual, 0) * std::sqrt(n / (n - p)));
}

/// Coefficients of the weighted least squares with Huber weights k scale / |residual|, at most 1.
std::vector<double> reweighted_solution(const Column& y, const DesignMatrix& columns, const Column& residual,
                                        double scale) {
  Column root(y.size());
  for (std::size_t k = 0; k < y.size(); ++k) {
    const double size = std::fabs(residual[k]);
    root[k] = size > huber_k * scale ? std::sqrt(huber_k * scale / size) : 1;
  }
  const auto times_root = [&](Column column) {
    for (std::size_t k = 0; k < column.size(); ++k) column[k] *= root[k];
    return column;
  };
  QrFactorization qr;
  for (const Column& column : columns) qr.add(times_root(column));
  return qr.solve(times_root(y));
}

double largest_change(const std::vector<double>& a, const std::vector<double>& b) {
  double largest = 0;
  for (std::size_t i = 0; i < a.size(); ++i) largest = std::max(largest, std::fabs(a[i] - b[i]));
  return largest;
}

}  // namespace

HuberFit fit_huber(const Column& y, const DesignMatrix& columns) {
  HuberFit fit;
  for (const Column& column : columns) fit.qr.add(column);
  fit.beta = fit.qr.solve(y);
  for (int iteration = 0; iteration < max_iterations; ++iteration) {
    fit.residual = residual_of(y, columns, fit.beta);
    fit.scale = scale_of(fit.residual, columns.size());
    std::vector<double> next = reweighted_solution(y, columns, fit.residual, fit.scale);
    const bool done = next.size() != fit.beta.size() || largest_change(next, fit.beta) < convergence_scales * fit.scale;
    if (next.size() == fit.beta.size()) fit.beta = std::move(next);
    if (done) break;
  }
  fit.residual = residual_of(y, columns, fit.beta);
  fit.scale = scale_of(fit.residual, columns.size());
  fit.winsorized = fit.residual;
  for (double& u : fit.winsorized) u = std::clamp(u, -huber_k * fit.scale, huber_k * fit.scale);
  return fit;
}

EffectEstimate effect_estimate(const HuberFit& fit, std::size_t column) {
  const auto n = static_cast<double>(fit.rows()), p = static_cast<double>(fit.columns());
  double unclipped = 0;
  for (const double r : fit.residual) unclipped += std::fabs(r) < huber_k * fit.scale ? 1 : 0;
  const double share = unclipped / n;
  const double kappa = 1 + p / n * (1 - share) / share;
  const double variance = kappa * kappa * dot(fit.winsorized, fit.winsorized) / (n - p) / (share * share) *
                          fit.qr.inverse_diagonal()[column];
  return {fit.beta[column], std::sqrt(variance), n - p};
}

}  // namespace firmus::habits
