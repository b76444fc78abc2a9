// Wander and a swing, told apart by a Kalman filter.
#pragma once
#include <vector>

#include "note_series.hpp"

namespace firmus::measure {

/// One way the pitch may move: a random walk and a swing.
struct SwingModel {
  double wander_cents_per_root_s = 0;
  double extent_cents = 0;  ///< standard deviation of the swing; 0: none
  double rate_hz = 0;
  double keeps_s = 1;  ///< extent and phase forget themselves in this time
};

/// How well a model explains what was seen, and the sum of the swing over the looks of the middle.
struct SwingSum {
  double log_likelihood = 0, sum = 0, sum_variance = 0;
};

class SwingFilter {
 public:
  /// Of `cents` over the part, every other frame is looked at: neighbours overlap, and 10 ms is plenty for 8 Hz.
  SwingFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part middle);

  std::size_t looks() const { return looks_.size(); }
  std::size_t looks_in_middle() const { return in_middle_; }
  SwingSum explain(const SwingModel& model) const;
  /// Expected swing at each look, from all of them.
  std::vector<double> smooth(const SwingModel& model) const;

  static constexpr std::size_t every = 2;  ///< frames

 private:
  struct Look {
    double cents = 0, step_s = 0;
    bool in_middle = false;
  };
  double roughness() const;

  std::vector<Look> looks_;
  std::size_t in_middle_ = 0;
  double noise_variance_ = 1;
};

}  // namespace firmus::measure
