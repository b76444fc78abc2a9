#include "ar1_whitening.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::habits {
namespace {

// Median of real takes, and how many notes that knowledge is worth (simulation on real residuals).
constexpr double usual_rho = 0.3, usual_rho_notes = 28, largest_rho = 0.8;
constexpr double memory_clip = 2.5;       // spreads; one wild note would hide the rest
constexpr double least_own_share = 0.25;  // of the spread is the singer's own, whatever the standard errors say

/// Factors that make all rows equally uncertain.
Column row_factors(const Series& series, const Column& centred) {
  const auto n = static_cast<double>(series.size());
  const double spread = mad_sigma(centred, 0) * std::sqrt(n / (n - 2));
  double mean_square = 0;
  for (const double se : series.se_cents) mean_square += se * se / n;
  const double least = least_own_share * spread;
  const double own = std::max(spread * spread - mean_square, least * least);
  Column factors(series.size(), 1.0);
  for (std::size_t k = 0; k < series.size(); ++k) {
    const double total = own + series.se_cents[k] * series.se_cents[k];
    if (total > 0) factors[k] = std::sqrt((own + mean_square) / total);
    if (!series.weight.empty()) factors[k] *= series.weight[k];
  }
  return factors;
}

bool begins(const Series& series, std::size_t k) {
  return k == 0 || (!series.begins.empty() && series.begins[k]);
}

Column whitened(const Series& series, const Column& factors, double rho, const Column& column) {
  const double first = std::sqrt(1 - rho * rho);
  Column result(column.size());
  for (std::size_t k = 0; k < column.size(); ++k)
    result[k] = begins(series, k) ? first * factors[k] * column[k]
                                  : factors[k] * column[k] - rho * factors[k - 1] * column[k - 1];
  return result;
}

}  // namespace

Column without_slope(const Series& series) {
  const double slope = theil_sen_slope(series.position, series.cents);
  Column rest = series.cents;
  for (std::size_t k = 0; k < rest.size(); ++k) rest[k] -= slope * series.position[k];
  const double middle = median(rest);
  for (double& value : rest) value -= middle;
  return rest;
}

NoteMemory memory_between_notes(const Column& centred) {
  const auto n = static_cast<double>(centred.size());
  NoteMemory memory;
  const double spread = mad_sigma(centred, 0);
  if (spread <= 0) {
    memory.rho = usual_rho;
    return memory;
  }
  Column w = centred;
  for (double& value : w) value = std::clamp(value / spread, -memory_clip, memory_clip);
  double mean = 0;
  for (const double value : w) mean += value / n;
  for (double& value : w) value -= mean;
  double products = 0;
  for (std::size_t k = 0; k + 1 < w.size(); ++k) products += w[k] * w[k + 1];
  memory.raw = products / dot(w, w);
  memory.corrected = (memory.raw + 2 / n) / (1 - 4 / n);  // the bias of a short series
  const double drawn = (n * memory.corrected + usual_rho_notes * usual_rho) / (n + usual_rho_notes);
  memory.rho = std::clamp(drawn, 0.0, largest_rho);
  return memory;
}

Whitened whiten(const Series& series, double rho) {
  const Column factors = row_factors(series, without_slope(series));
  Whitened result;
  result.rho = rho;
  result.y = whitened(series, factors, rho, series.cents);
  result.base = {whitened(series, factors, rho, Column(series.size(), 1.0)),
                 whitened(series, factors, rho, series.position)};
  for (const Column& group : series.members) result.groups.push_back(whitened(series, factors, rho, group));
  return result;
}

Whitened whiten(const Series& series) {
  return whiten(series, memory_between_notes(without_slope(series)).rho);
}

}  // namespace firmus::habits
