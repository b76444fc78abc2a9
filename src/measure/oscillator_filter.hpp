// The f0 of a note under one model of drift and oscillation: likelihood, and the oscillation given all frames.
#pragma once
#include <array>
#include <vector>

#include "kalman.hpp"
#include "note_series.hpp"

namespace firmus::measure {

/// What one pass of the Kalman filter says of a model.
struct FilterResult {
  /// Log of the density of all observations, less the constant -n/2 log(2 pi).
  double log_likelihood = 0;
  /// Sum of the in-phase component over the observations in the window, given all observations: mean and variance.
  double window_sum = 0, window_sum_variance = 0;
};

/// One observation of f0.
struct ObservedCents {
  double cents = 0, step_s = 0;  ///< step: since the observation before, 0 for the first
  bool in_window = false;
};

/// So many models go through the filter at once, one in each lane of a vector.
inline constexpr std::size_t models_at_once = 4;

class OscillatorFilter {
 public:
  /// Observations are every other frame of the part: neighbouring frames overlap, and 10 ms is enough for 8 Hz.
  /// `cents`: one value for each frame of the series. The noise variance is that of their second differences, at least
  /// 0.4^2 cents^2.
  OscillatorFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window);

  std::size_t observation_count() const { return observations_.size(); }
  std::size_t observations_in_window() const { return in_window_; }
  double noise_variance() const { return noise_variance_; }
  /// Of four models that differ in their drift alone: model i has `drifts_cents_per_root_s[i]` instead of its own.
  std::array<FilterResult, models_at_once> filter(
      const OscillatorModel& model, const std::array<double, models_at_once>& drifts_cents_per_root_s) const;
  /// Mean of the in-phase component at each observation, given all of them.
  std::vector<double> rts_smooth(const OscillatorModel& model) const;

  static constexpr std::size_t frames_per_observation = 2;

 private:
  double second_difference_variance() const;

  std::vector<ObservedCents> observations_;
  std::size_t in_window_ = 0;
  double noise_variance_ = 1;
};

}  // namespace firmus::measure
