#include "swing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "swing_filter.hpp"

namespace firmus::measure {
namespace {

// Checked on voices with exact truth (seeds 11 and 12) and on the notes of the coverage tests.
constexpr std::array<double, 4> wanders_cents_per_root_s{2, 8, 20, 45};
constexpr std::array<double, 4> grid_extents_cents{3, 9, 27, 70};
constexpr double grid_lowest_rate_hz = 4.5, grid_rate_step_hz = 0.5;
constexpr int grid_rates = 7;
constexpr double keeps_s = 1;  ///< longer, vibrato that sets in within a note is not followed
constexpr std::array<double, 2> slow_rates_hz{1.5, 3}, slow_extents_cents{6, 15};  ///< wander that swings
constexpr double slow_keeps_s = 0.3;  ///< without it smooth wander would be taken for vibrato
constexpr double swing_prior = 0.1, slow_prior = 0.4;
constexpr double sure = 0.99;             ///< of a swing; below, wander is taken for it too often
constexpr double likely = 0.1;            ///< from here on it puts the centre in doubt
constexpr double least_weight = 0.02;     ///< models under this share are not smoothed
constexpr std::size_t fewest_looks = 22;  ///< a cycle of the slowest: in less, only the priors would speak

struct Weighed {
  SwingModel model;
  double prior = 0, weight = 0;
  bool swings = false;
  SwingSum sum;
};

std::vector<Weighed> all_models() {
  std::vector<Weighed> all;
  const double swings = swing_prior / static_cast<double>(grid_rates * grid_extents_cents.size()),
               slow = slow_prior / static_cast<double>(slow_rates_hz.size() * slow_extents_cents.size());
  for (const double wander : wanders_cents_per_root_s) {
    all.push_back({{wander, 0, 0, 1}, 1 - swing_prior - slow_prior, 0, false, {}});
    for (const double extent : grid_extents_cents)
      for (int i = 0; i < grid_rates; ++i)
        all.push_back({{wander, extent, grid_lowest_rate_hz + i * grid_rate_step_hz, keeps_s}, swings, 0, true, {}});
    for (const double extent : slow_extents_cents)
      for (const double rate_hz : slow_rates_hz)
        all.push_back({{wander, extent, rate_hz, slow_keeps_s}, slow, 0, false, {}});
  }
  return all;
}

/// Every model, weighed by how well it explains the looks; the weights add up to 1.
std::vector<Weighed> weigh(const SwingFilter& filter) {
  std::vector<Weighed> all = all_models();
  double top = -1e300, total = 0;
  for (Weighed& one : all) {
    one.sum = filter.explain(one.model);
    one.weight = one.sum.log_likelihood + std::log(one.prior);
    top = std::max(top, one.weight);
  }
  for (Weighed& one : all) total += one.weight = std::exp(one.weight - top);
  for (Weighed& one : all) one.weight /= total;
  return all;
}

double chance_of_swing(const std::vector<Weighed>& all) {
  double chance = 0;
  for (const Weighed& one : all) chance += one.swings ? one.weight : 0;
  return chance;
}

/// Standard error that the swing leaves in the mean over the middle: once it is taken off, its spread; before, all of
/// it, as likely as it is there.
double se_of_mean(const std::vector<Weighed>& all, std::size_t looks, bool taken_off) {
  double mean = 0, square = 0;
  for (const Weighed& one : all) {
    if (!one.swings) continue;
    mean += one.weight * one.sum.sum;
    square += one.weight * (one.sum.sum_variance + one.sum.sum * one.sum.sum);
  }
  return std::sqrt(std::max(0.0, taken_off ? square - mean * mean : square)) / static_cast<double>(looks);
}

}  // namespace

Swing find_swing(const NoteSeries& series, const std::vector<double>& cents, Part part, Part middle) {
  const SwingFilter filter(series, cents, part, middle);
  if (filter.looks() < fewest_looks || filter.looks_in_middle() == 0) return {};
  const std::vector<Weighed> models = weigh(filter);
  const double chance = chance_of_swing(models);
  const bool is_sure = chance >= sure;
  const double mean_se = se_of_mean(models, filter.looks_in_middle(), is_sure);
  if (chance < likely) return {{}, false, mean_se};
  std::vector<double> at(filter.looks(), 0.0);
  for (const Weighed& one : models) {
    if (!one.swings || one.weight < least_weight) continue;
    const std::vector<double> smooth = filter.smooth(one.model);
    for (std::size_t i = 0; i < at.size(); ++i) at[i] += one.weight * smooth[i];
  }
  Swing swing{std::vector<double>(series.size(), 0.0), is_sure, mean_se};
  constexpr std::size_t every = SwingFilter::every;
  for (std::size_t i = part.from; i < part.to; ++i) {
    const std::size_t low = std::min((i - part.from) / every, at.size() - 1), high = std::min(low + 1, at.size() - 1);
    const double share = static_cast<double>((i - part.from) % every) / every;
    swing.cents[i] = at[low] + (at[high] - at[low]) * share;
  }
  return swing;
}

}  // namespace firmus::measure
