#include "oscillator_filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr double least_noise_sd_cents = 0.4;        ///< less would take rounding for an oscillation
constexpr double largest_observed_bend_cents = 20;  ///< second differences are clipped here: more is a slip

/// The sum of the in-phase component so far, and its covariances with the state and itself.
struct WindowSum {
  double mean = 0, with_drift = 0, with_in_phase = 0, with_quadrature = 0, variance = 0;
};

void kalman_update(WindowSum& sum, const KalmanGain& gain) {
  const double with_observation = sum.with_drift + sum.with_in_phase, share = with_observation * gain.inverse_variance;
  sum.mean += share * gain.innovation;
  sum.with_drift -= share * gain.drift, sum.with_in_phase -= share * gain.in_phase,
      sum.with_quadrature -= share * gain.quadrature;
  sum.variance -= share * with_observation;
}

void add_in_phase(WindowSum& sum, const GaussianState& state) {
  sum.mean += state.in_phase;
  sum.variance += 2 * sum.with_in_phase + state.ii;
  sum.with_drift += state.di, sum.with_in_phase += state.ii, sum.with_quadrature += state.iq;
}

/// The transitions between observations, nearly all of one length.
class Transitions {
 public:
  explicit Transitions(const OscillatorModel& model) : model_(model), usual_(model, usual_step_s) {}
  Transition over(double step_s) const {
    return std::abs(step_s - usual_step_s) < 1e-6 ? usual_ : Transition(model_, step_s);
  }

 private:
  static constexpr double usual_step_s = OscillatorFilter::frames_per_observation * frame_s;
  const OscillatorModel& model_;
  Transition usual_;
};

/// Logarithm of a product of many factors: one call of log for many of them.
class LogOfProduct {
 public:
  void times(double factor) {
    product_ *= factor;
    if (product_ > 1e-200 && product_ < 1e200) return;
    log_ += std::log(product_);
    product_ = 1;
  }
  double log() const { return log_ + std::log(product_); }

 private:
  double log_ = 0, product_ = 1;
};

}  // namespace

OscillatorFilter::OscillatorFilter(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window) {
  for (std::size_t i = part.from; i < part.to; i += frames_per_observation) {
    const double step_s = observations_.empty() ? 0 : series.time_s[i] - series.time_s[i - frames_per_observation];
    observations_.push_back({cents[i], step_s, i >= window.from && i < window.to});
    in_window_ += observations_.back().in_window ? 1 : 0;
  }
  noise_variance_ = std::max(least_noise_sd_cents * least_noise_sd_cents, second_difference_variance());
}

/// Variance of the errors of single observations: a sixth of the mean square second difference.
double OscillatorFilter::second_difference_variance() const {
  double sum = 0;
  for (std::size_t i = 1; i + 1 < observations_.size(); ++i) {
    const double bend = observations_[i - 1].cents - 2 * observations_[i].cents + observations_[i + 1].cents;
    sum += std::min(bend * bend, largest_observed_bend_cents * largest_observed_bend_cents) / 6;
  }
  return sum / static_cast<double>(std::max<std::size_t>(1, observations_.size() - 2));
}

FilterResult OscillatorFilter::filter(const OscillatorModel& model) const {
  GaussianState state = initial_state(model, observations_.front().cents);
  WindowSum sum;
  double squared_innovations = 0;
  LogOfProduct variances;
  const Transitions transitions(model);
  for (const Observation& observation : observations_) {
    if (observation.step_s > 0) {
      const Transition transition = transitions.over(observation.step_s);
      predict(state, transition);
      rotate(sum.with_in_phase, sum.with_quadrature, transition);
    }
    const KalmanGain gain(state, observation.cents, noise_variance_);
    kalman_update(sum, gain);
    kalman_update(state, gain);
    variances.times(gain.innovation_variance);
    squared_innovations += gain.innovation * gain.innovation * gain.inverse_variance;
    if (observation.in_window) add_in_phase(sum, state);
  }
  return {-0.5 * (variances.log() + squared_innovations), sum.mean, std::max(0.0, sum.variance)};
}

std::vector<double> OscillatorFilter::rts_smooth(const OscillatorModel& model) const {
  const Transitions transitions(model);
  struct Step {
    GaussianState predicted, filtered;
  };
  std::vector<Step> forward;
  GaussianState state = initial_state(model, observations_.front().cents);
  for (const Observation& observation : observations_) {
    if (observation.step_s > 0) predict(state, transitions.over(observation.step_s));
    const GaussianState predicted = state;
    kalman_update(state, KalmanGain(state, observation.cents, noise_variance_));
    forward.push_back({predicted, state});
  }
  std::vector<double> in_phase(observations_.size());
  StateMean later = {state.drift, state.in_phase, state.quadrature};
  in_phase.back() = later[1];
  for (std::size_t i = observations_.size() - 1; i-- > 0;) {
    later =
        rts_step(forward[i].filtered, forward[i + 1].predicted, transitions.over(observations_[i + 1].step_s), later);
    in_phase[i] = later[1];
  }
  return in_phase;
}

}  // namespace firmus::measure
