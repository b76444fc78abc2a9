#include "vibrato_tracker.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "oscillator_filter.hpp"

namespace firmus::measure {
namespace {

// Checked on voices with exact truth (seeds 11 and 12) and on the notes of the coverage tests.
constexpr std::array<double, 4> drift_grid_cents_per_root_s{2, 8, 20, 45};
constexpr std::array<double, 4> grid_sd_cents{3, 9, 27, 70};
constexpr double grid_lowest_rate_hz = 4.5, grid_rate_step_hz = 0.5;
constexpr int grid_rates = 7;
constexpr double decay_time_s = 1;  ///< longer, vibrato that sets in within a note is not followed
constexpr std::array<double, 2> slow_rates_hz{1.5, 3}, slow_sd_cents{6, 15};  ///< wander that swings
constexpr double slow_decay_time_s = 0.3;  ///< without it smooth wander would be taken for vibrato
constexpr double vibrato_share_prior = 0.1, slow_share_prior = 0.4;
constexpr double sure = 0.99;                    ///< of a swing; below, wander is taken for it too often
constexpr double likely = 0.1;                   ///< from here on it puts the centre in doubt
constexpr double least_weight = 0.02;            ///< models under this share are not smoothed
constexpr std::size_t fewest_observations = 22;  ///< a cycle of the slowest: in less, only the priors would speak

struct WeightedModel {
  OscillatorModel model;
  double prior = 0, weight = 0;
  bool is_vibrato = false;
  FilterResult sum;
};

std::vector<WeightedModel> model_grid() {
  std::vector<WeightedModel> all;
  const double vibrato_prior_each = vibrato_share_prior / static_cast<double>(grid_rates * grid_sd_cents.size()),
               slow_prior_each = slow_share_prior / static_cast<double>(slow_rates_hz.size() * slow_sd_cents.size());
  for (const double drift : drift_grid_cents_per_root_s) {
    all.push_back({{drift, 0, 0, 1}, 1 - vibrato_share_prior - slow_share_prior, 0, false, {}});
    for (const double extent : grid_sd_cents)
      for (int i = 0; i < grid_rates; ++i)
        all.push_back({{drift, extent, grid_lowest_rate_hz + i * grid_rate_step_hz, decay_time_s},
                       vibrato_prior_each,
                       0,
                       true,
                       {}});
    for (const double extent : slow_sd_cents)
      for (const double rate_hz : slow_rates_hz)
        all.push_back({{drift, extent, rate_hz, slow_decay_time_s}, slow_prior_each, 0, false, {}});
  }
  return all;
}

/// Every model, weighed by how well it explains the looks; the weights add up to 1.
std::vector<WeightedModel> posterior_weights(const OscillatorFilter& kalman) {
  std::vector<WeightedModel> all = model_grid();
  double top = -1e300, total = 0;
  for (WeightedModel& one : all) {
    one.sum = kalman.filter(one.model);
    one.weight = one.sum.log_likelihood + std::log(one.prior);
    top = std::max(top, one.weight);
  }
  for (WeightedModel& one : all) total += one.weight = std::exp(one.weight - top);
  for (WeightedModel& one : all) one.weight /= total;
  return all;
}

double vibrato_probability(const std::vector<WeightedModel>& all) {
  double chance = 0;
  for (const WeightedModel& one : all) chance += one.is_vibrato ? one.weight : 0;
  return chance;
}

/// Standard error that the swing leaves in the mean over the middle: once it is taken off, its spread; before, all of
/// it, as likely as it is there.
double mean_se_cents_of(const std::vector<WeightedModel>& all, std::size_t observation_count, bool taken_off) {
  double mean = 0, square = 0;
  for (const WeightedModel& one : all) {
    if (!one.is_vibrato) continue;
    mean += one.weight * one.sum.sum;
    square += one.weight * (one.sum.sum_variance + one.sum.sum * one.sum.sum);
  }
  return std::sqrt(std::max(0.0, taken_off ? square - mean * mean : square)) / static_cast<double>(observation_count);
}

}  // namespace

VibratoTrack track_vibrato(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window) {
  const OscillatorFilter kalman(series, cents, part, window);
  if (kalman.observation_count() < fewest_observations || kalman.observations_in_window() == 0) return {};
  const std::vector<WeightedModel> models = posterior_weights(kalman);
  const double chance = vibrato_probability(models);
  const bool is_sure = chance >= sure;
  const double mean_se = mean_se_cents_of(models, kalman.observations_in_window(), is_sure);
  if (chance < likely) return {{}, false, mean_se};
  std::vector<double> at(kalman.observation_count(), 0.0);
  for (const WeightedModel& one : models) {
    if (!one.is_vibrato || one.weight < least_weight) continue;
    const std::vector<double> smoothed = kalman.rts_smooth(one.model);
    for (std::size_t i = 0; i < at.size(); ++i) at[i] += one.weight * smoothed[i];
  }
  VibratoTrack track{std::vector<double>(series.size(), 0.0), is_sure, mean_se};
  constexpr std::size_t frames_per_observation = OscillatorFilter::frames_per_observation;
  for (std::size_t i = part.from; i < part.to; ++i) {
    const std::size_t low = std::min((i - part.from) / frames_per_observation, at.size() - 1),
                      high = std::min(low + 1, at.size() - 1);
    const double share = static_cast<double>((i - part.from) % frames_per_observation) / frames_per_observation;
    track.cents[i] = at[low] + (at[high] - at[low]) * share;
  }
  return track;
}

}  // namespace firmus::measure
