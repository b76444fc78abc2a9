// Wander and a swing, told apart by a Kalman filter.
#pragma once
#include <vector>

#include "note_series.hpp"

namespace firmus::measure {

/// One way the pitch may move: a random walk and a swing.
struct OscillatorModel {
  double drift_cents_per_root_s = 0;
  double sd_cents = 0;  ///< standard deviation of the swing; 0: none
  double rate_hz = 0;
  double decay_time_s = 1;  ///< extent and phase forget themselves in this time
};

/// How well a model explains what was seen, and the sum of the swing over the looks of the middle.
struct FilterResult {
  double log_likelihood = 0, sum = 0, sum_variance = 0;
};

class OscillatorFilter {
 public:
  /// Of `cents` over the part, every other frame is looked at: neighbours overlap, and 10 ms is plenty for 8 Hz.
  OscillatorFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window);

  std::size_t observation_count() const { return observations_.size(); }
  std::size_t observations_in_window() const { return in_window_; }
  FilterResult filter(const OscillatorModel& model) const;
  /// Expected swing at each look, from all of them.
  std::vector<double> rts_smooth(const OscillatorModel& model) const;

  static constexpr std::size_t frames_per_observation = 2;  ///< frames

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
