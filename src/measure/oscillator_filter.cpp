#include "oscillator_filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

namespace firmus::measure {
namespace {

constexpr double least_noise_sd_cents = 0.4;        ///< less would take rounding for an oscillation
constexpr double largest_observed_bend_cents = 20;  ///< second differences are clipped here: more is a slip

/// The sum of the in-phase component so far, and its covariances with the state and itself.
template <typename Value>
struct WindowSum {
  Value mean{}, with_drift{}, with_in_phase{}, with_quadrature{}, variance{};
};

template <typename Value>
FIRMUS_INLINE void kalman_update(WindowSum<Value>& sum, const BasicGain<Value>& gain) {
  const Value with_observation = sum.with_drift + sum.with_in_phase, share = with_observation * gain.inverse_variance;
  sum.mean += share * gain.innovation;
  sum.with_drift -= share * gain.drift, sum.with_in_phase -= share * gain.in_phase,
      sum.with_quadrature -= share * gain.quadrature;
  sum.variance -= share * with_observation;
}

template <typename Value>
FIRMUS_INLINE void add_in_phase(WindowSum<Value>& sum, const BasicState<Value>& state) {
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

/// Logarithms of products of many factors: one call of log for many of them.
class LogOfProducts {
 public:
  FIRMUS_INLINE void times(const double4& factors) {
    product_ *= factors;
    if (++factors_ == most_factors) take_logs();
  }
  double log(std::size_t i) const { return log_[i] + std::log(product_[i]); }

 private:
  // Innovation variances lie between 0.1 and 10^6: 10^192 at most.
  static constexpr int most_factors = 32;
  void take_logs() {
    for (std::size_t i = 0; i < models_at_once; ++i) log_[i] += std::log(product_[i]);
    product_ = double4{} + 1.0;
    factors_ = 0;
  }
  double4 log_{}, product_ = double4{} + 1.0;
  int factors_ = 0;
};

/// What a pass of the filter leaves.
struct FilterPass {
  WindowSum<double4> sum;
  double4 squared_innovations{};
  LogOfProducts variances;
};

FIRMUS_MULTIVERSION void run_filter(const std::vector<ObservedCents>& observations, double noise_variance,
                                    const OscillatorModel& model, const double* drift_variances_per_s,
                                    FilterPass& pass) {
  double4 variance_per_s;
  std::memcpy(&variance_per_s, drift_variances_per_s, sizeof variance_per_s);
  BasicState<double4> state;
  set_initial(model, observations.front().cents, state);
  const Transitions transitions(model);
  for (const ObservedCents& observation : observations) {
    if (observation.step_s > 0) {
      const Transition transition = transitions.over(observation.step_s);
      const double4 drift_variance = variance_per_s * observation.step_s;
      predict(state, transition, drift_variance);
      rotate(pass.sum.with_in_phase, pass.sum.with_quadrature, transition);
    }
    const BasicGain<double4> gain(state, observation.cents, noise_variance);
    kalman_update(pass.sum, gain);
    kalman_update(state, gain);
    pass.variances.times(gain.innovation_variance);
    pass.squared_innovations += gain.innovation * gain.innovation * gain.inverse_variance;
    if (observation.in_window) add_in_phase(pass.sum, state);
  }
}

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

std::array<FilterResult, models_at_once> OscillatorFilter::filter(
    const OscillatorModel& model, const std::array<double, models_at_once>& drifts_cents_per_root_s) const {
  std::array<double, models_at_once> variances_per_s{};
  for (std::size_t i = 0; i < models_at_once; ++i)
    variances_per_s[i] = drifts_cents_per_root_s[i] * drifts_cents_per_root_s[i];
  FilterPass pass;
  run_filter(observations_, noise_variance_, model, variances_per_s.data(), pass);
  std::array<FilterResult, models_at_once> results;
  for (std::size_t i = 0; i < models_at_once; ++i)
    results[i] = {-0.5 * (pass.variances.log(i) + pass.squared_innovations[i]), pass.sum.mean[i],
                  std::max(0.0, pass.sum.variance[i])};
  return results;
}

std::vector<double> OscillatorFilter::rts_smooth(const OscillatorModel& model) const {
  const Transitions transitions(model);
  struct Step {
    GaussianState predicted, filtered;
  };
  std::vector<Step> forward;
  GaussianState state = initial_state(model, observations_.front().cents);
  for (const ObservedCents& observation : observations_) {
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
