// The f0 of a note under one model of drift and oscillation: likelihood, and the oscillation given all frames.
#pragma once
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

class OscillatorFilter {
 public:
  /// Observations are every other frame of the part: neighbouring frames overlap, and 10 ms is enough for 8 Hz.
  /// `cents`: one value for each frame of the series. The noise variance is that of their second differences, at least
  /// 0.4^2 cents^2.
  OscillatorFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window);

  std::size_t observation_count() const { return observations_.size(); }
  std::size_t observations_in_window() const { return in_window_; }
  double noise_variance() const { return noise_variance_; }
  FilterResult filter(const OscillatorModel& model) const;
  /// Mean of the in-phase component at each observation, given all of them.
  std::vector<double> rts_smooth(const OscillatorModel& model) const;

  static constexpr std::size_t frames_per_observation = 2;

 private:
  struct Observation {
    double cents = 0, step_s = 0;
    bool in_window = false;
  };
  double second_difference_variance() const;

  std::vector<Observation> observations_;
  std::size_t in_window_ = 0;
  double noise_variance_ = 1;
};

}  // namespace firmus::measure
