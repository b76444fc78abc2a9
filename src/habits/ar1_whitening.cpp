#include "ar1_whitening.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::habits {
namespace {

// Prior: the median over real takes, with the weight in notes that gave the best calibration in simulations on real
// residuals. With a smaller weight short takes get a false autocorrelation.
constexpr double prior_rho_notes = 28, max_rho = 0.8;
constexpr double autocorrelation_clip_sigmas = 2.5;  // unclipped, one outlier would dominate the sums
constexpr double min_own_share = 0.25;               // least share of the spread that is not measurement error

/// Factors that give all rows the same error variance: the singer's own plus that of the measurement.
Column row_factors(const NoteSeries& series, const Column& centred) {
  const auto n = static_cast<double>(series.size());
  const double sigma = mad_sigma(centred, 0) * std::sqrt(n / (n - 2));
  double mean_square = 0;
  for (const double se : series.se_cents) mean_square += se * se / n;
  const double least = min_own_share * sigma;
  const double own = std::max(sigma * sigma - mean_square, least * least);
  Column factors(series.size(), 1.0);
  for (std::size_t k = 0; k < series.size(); ++k) {
    const double total = own + series.se_cents[k] * series.se_cents[k];
    if (total > 0) factors[k] = std::sqrt((own + mean_square) / total);
    if (!series.weight.empty()) factors[k] *= series.weight[k];
  }
  return factors;
}

bool begins(const NoteSeries& series, std::size_t k) {
  return k == 0 || (!series.begins.empty() && series.begins[k]);
}

/// Prais-Winsten: e[k] - rho e[k-1], the first row of a chain times sqrt(1 - rho^2).
Column whitened(const NoteSeries& series, const Column& factors, double rho, const Column& column) {
  const double first = std::sqrt(1 - rho * rho);
  Column result(column.size());
  for (std::size_t k = 0; k < column.size(); ++k)
    result[k] = begins(series, k) ? first * factors[k] * column[k]
                                  : factors[k] * column[k] - rho * factors[k - 1] * column[k - 1];
  return result;
}

}  // namespace

Column detrended(const NoteSeries& series) {
  const double slope = theil_sen_slope(series.position, series.cents);
  Column rest = series.cents;
  for (std::size_t k = 0; k < rest.size(); ++k) rest[k] -= slope * series.position[k];
  const double centre = median(rest);
  for (double& value : rest) value -= centre;
  return rest;
}

Lag1Autocorrelation lag1_autocorrelation(const Column& centred, double prior) {
  const auto n = static_cast<double>(centred.size());
  Lag1Autocorrelation autocorrelation;
  const double sigma = mad_sigma(centred, 0);
  if (sigma <= 0) {
    autocorrelation.rho = prior;
    return autocorrelation;
  }
  Column w = centred;
  for (double& value : w) value = std::clamp(value / sigma, -autocorrelation_clip_sigmas, autocorrelation_clip_sigmas);
  double mean = 0;
  for (const double value : w) mean += value / n;
  for (double& value : w) value -= mean;
  double products = 0;
  for (std::size_t k = 0; k + 1 < w.size(); ++k) products += w[k] * w[k + 1];
  autocorrelation.raw = products / dot(w, w);
  // Small-sample bias of a detrended series: raw is about rho - (2 + 4 rho) / n on average.
  autocorrelation.corrected = (autocorrelation.raw + 2 / n) / (1 - 4 / n);
  const double shrunk = (n * autocorrelation.corrected + prior_rho_notes * prior) / (n + prior_rho_notes);
  autocorrelation.rho = std::clamp(shrunk, 0.0, max_rho);
  return autocorrelation;
}

WhitenedSeries whiten(const NoteSeries& series, double rho) {
  const Column factors = row_factors(series, detrended(series));
  WhitenedSeries result;
  result.rho = rho;
  result.y = whitened(series, factors, rho, series.cents);
  result.base = {whitened(series, factors, rho, Column(series.size(), 1.0)),
                 whitened(series, factors, rho, series.position)};
  for (const Column& group : series.members) result.groups.push_back(whitened(series, factors, rho, group));
  return result;
}

WhitenedSeries whiten(const NoteSeries& series) {
  return whiten(series, lag1_autocorrelation(detrended(series)).rho);
}

}  // namespace firmus::habits
