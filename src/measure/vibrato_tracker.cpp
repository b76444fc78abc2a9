#include "vibrato_tracker.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "oscillator_filter.hpp"

namespace firmus::measure {
namespace {

// The grid of models. Checked on simulated voices (seeds 11 and 12) and on simulated notes.
constexpr std::array<double, models_at_once> drifts_cents_per_root_s{2, 8, 20, 45};
constexpr std::array<double, 4> vibrato_sds_cents{3, 9, 27, 70};
constexpr double lowest_vibrato_hz = 3.0, vibrato_step_hz = 0.5;
constexpr int vibrato_rates = 10;
constexpr double rare_wobble = 0.2;    ///< prior of a rate of wobble against one of vibrato: drift looks like it
constexpr double vibrato_decay_s = 1;  ///< a longer one does not follow vibrato that sets in within a note
constexpr std::array<double, 2> slow_rates_hz{1.5, 3}, slow_sds_cents{6, 15};  ///< drift that oscillates
constexpr double slow_decay_s = 0.3;  ///< without the slow models smooth drift would be taken for vibrato
constexpr double vibrato_class_prior = 0.1, slow_class_prior = 0.4;
constexpr double usual_class_prior = 0.8;  ///< of a note in a take with a usual vibrato
constexpr std::size_t fewest_with_usual = 8;
constexpr double certain_usual_from = 0.9;
constexpr double certain_from = 0.99;            ///< probability; below, drift is taken for vibrato too often
constexpr double likely_from = 0.1;              ///< from here on vibrato makes the pitch uncertain
constexpr double least_weight = 0.02;            ///< models with less are not smoothed
constexpr std::size_t fewest_observations = 22;  ///< a cycle of the slowest vibrato: on less, the prior would decide

/// A model of the grid, its weight, and what the filter says of it.
struct WeightedModel {
  OscillatorModel model;
  double weight = 0;
  bool is_vibrato = false;
  FilterResult filtered;
};

/// The oscillations that count as vibrato, and how likely it is before the note is seen.
struct VibratoPrior {
  std::vector<double> rates_hz, sds_cents;
  double probability = 0;
  bool wobble_is_rare = true;
};

VibratoPrior prior_for(const std::optional<UsualVibrato>& usual, double observed_s) {
  VibratoPrior prior{{}, {vibrato_sds_cents.begin(), vibrato_sds_cents.end()}, vibrato_class_prior, true};
  for (int i = 0; i < vibrato_rates; ++i) {
    const double rate_hz = lowest_vibrato_hz + i * vibrato_step_hz;
    if (rate_hz >= slowest_vibrato_hz || rate_hz * observed_s >= least_wobble_cycles) prior.rates_hz.push_back(rate_hz);
  }
  if (!usual) return prior;
  // A sine has a standard deviation of its extent over the root of two.
  prior = {{}, {0.4 * usual->extent_cents, 0.7 * usual->extent_cents}, usual_class_prior, false};
  for (const double sds : {-1.5, -0.75, 0.0, 0.75, 1.5})
    prior.rates_hz.push_back(usual->rate_hz + sds * usual->rate_sd_hz);
  return prior;
}

/// An oscillation of the grid, or none; each comes with every drift.
struct Oscillation {
  OscillatorModel model;
  double prior = 0;  ///< with any one drift
  bool is_vibrato = false;
};

std::vector<Oscillation> oscillation_grid(const VibratoPrior& vibrato) {
  const double slow_class = slow_class_prior * (1 - vibrato.probability) / (1 - vibrato_class_prior);
  const double vibrato_prior_each =
                   vibrato.probability / static_cast<double>(vibrato.rates_hz.size() * vibrato.sds_cents.size()),
               slow_prior_each = slow_class / static_cast<double>(slow_rates_hz.size() * slow_sds_cents.size());
  std::vector<Oscillation> all{{{0, 0, 0, 1}, 1 - vibrato.probability - slow_class, false}};
  for (const double rate_hz : vibrato.rates_hz) {
    const bool rare = vibrato.wobble_is_rare && rate_hz < slowest_vibrato_hz;
    for (const double extent : vibrato.sds_cents)
      all.push_back({{0, extent, rate_hz, vibrato_decay_s}, (rare ? rare_wobble : 1) * vibrato_prior_each, true});
  }
  for (const double extent : slow_sds_cents)
    for (const double rate_hz : slow_rates_hz)
      all.push_back({{0, extent, rate_hz, slow_decay_s}, slow_prior_each, false});
  return all;
}

/// Every model with its posterior probability as weight.
std::vector<WeightedModel> posterior_weights(const OscillatorFilter& kalman, const VibratoPrior& vibrato) {
  std::vector<WeightedModel> all;
  for (const Oscillation& oscillation : oscillation_grid(vibrato)) {
    const auto filtered = kalman.filter(oscillation.model, drifts_cents_per_root_s);
    for (std::size_t i = 0; i < models_at_once; ++i) {
      WeightedModel one{oscillation.model, 0, oscillation.is_vibrato, filtered[i]};
      one.model.drift_cents_per_root_s = drifts_cents_per_root_s[i];
      one.weight = filtered[i].log_likelihood + std::log(oscillation.prior);
      all.push_back(one);
    }
  }
  double top = -1e300, total = 0;
  for (const WeightedModel& one : all) top = std::max(top, one.weight);
  for (WeightedModel& one : all) total += one.weight = std::exp(one.weight - top);
  for (WeightedModel& one : all) one.weight /= total;
  return all;
}

double vibrato_probability(const std::vector<WeightedModel>& all) {
  double probability = 0;
  for (const WeightedModel& one : all) probability += one.is_vibrato ? one.weight : 0;
  return probability;
}

/// Standard error that vibrato leaves in the mean over the window: its posterior standard deviation once it is removed,
/// else its root mean square.
double window_mean_se(const std::vector<WeightedModel>& all, std::size_t observation_count, bool removed) {
  double mean = 0, square = 0;
  for (const WeightedModel& one : all) {
    if (!one.is_vibrato) continue;
    mean += one.weight * one.filtered.window_sum;
    square += one.weight * (one.filtered.window_sum_variance + one.filtered.window_sum * one.filtered.window_sum);
  }
  return std::sqrt(std::max(0.0, removed ? square - mean * mean : square)) / static_cast<double>(observation_count);
}

}  // namespace

VibratoTrack track_vibrato(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window,
                           const std::optional<UsualVibrato>& usual) {
  const OscillatorFilter kalman(series, cents, part, window);
  const double observed_s =
      static_cast<double>(kalman.observation_count() * OscillatorFilter::frames_per_observation) * frame_s;
  const std::size_t fewest = usual ? fewest_with_usual : fewest_observations;
  if (kalman.observation_count() < fewest || kalman.observations_in_window() == 0) return {};
  const std::vector<WeightedModel> models = posterior_weights(kalman, prior_for(usual, observed_s));
  const double probability = vibrato_probability(models);
  const bool is_certain = probability >= (usual ? certain_usual_from : certain_from);
  const double mean_se = window_mean_se(models, kalman.observations_in_window(), is_certain);
  if (probability < likely_from) return {{}, false, mean_se};
  std::vector<double> at_observations(kalman.observation_count(), 0.0);
  for (const WeightedModel& one : models) {
    if (!one.is_vibrato || one.weight < least_weight) continue;
    const std::vector<double> smoothed = kalman.rts_smooth(one.model);
    for (std::size_t i = 0; i < at_observations.size(); ++i) at_observations[i] += one.weight * smoothed[i];
  }
  VibratoTrack track{std::vector<double>(series.size(), 0.0), is_certain, mean_se};
  constexpr std::size_t frames_per_observation = OscillatorFilter::frames_per_observation;
  for (std::size_t i = part.from; i < part.to; ++i) {
    const std::size_t low = std::min((i - part.from) / frames_per_observation, at_observations.size() - 1),
                      high = std::min(low + 1, at_observations.size() - 1);
    const double share = static_cast<double>((i - part.from) % frames_per_observation) / frames_per_observation;
    track.cents[i] = at_observations[low] + (at_observations[high] - at_observations[low]) * share;
  }
  return track;
}

}  // namespace firmus::measure
