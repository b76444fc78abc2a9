#include "oscillator_filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::measure {
namespace {

constexpr double least_noise_sd_cents = 0.4;        ///< less would take rounding for a swing
constexpr double largest_observed_bend_cents = 20;  ///< a frame further off is a slip

/// What is believed of wander, swing and its quadrature: means, and covariances (symmetric, the upper half).
struct GaussianState {
  double drift = 0, in_phase = 0, quadrature = 0;
  double dd = 0, di = 0, dq = 0, ii = 0, iq = 0, qq = 0;
};

/// The sum of the swing so far, and its covariances with the rest and itself.
struct WindowSum {
  double mean = 0, with_drift = 0, with_in_phase = 0, with_quadrature = 0, variance = 0;
};

/// One step of the model: the swing turns and fades, and both are driven by noise.
struct Transition {
  double c = 0, s = 0, drift_variance = 0, oscillation_variance = 0;
  Transition(const OscillatorModel& model, double step_s) {
    const double keep = std::exp(-step_s / model.decay_time_s), angle = 2 * std::numbers::pi * model.rate_hz * step_s;
    c = keep * std::cos(angle), s = keep * std::sin(angle);
    drift_variance = model.drift_cents_per_root_s * model.drift_cents_per_root_s * step_s;
    oscillation_variance = model.sd_cents * model.sd_cents * (1 - keep * keep);
  }
};

/// The steps from look to look, nearly all of one length.
class Transitions {
 public:
  explicit Transitions(const OscillatorModel& model) : model_(model), usual_transition_(model, usual_step_s) {}
  Transition over(double step_s) const {
    return std::abs(step_s - usual_step_s) < 1e-6 ? usual_transition_ : Transition(model_, step_s);
  }

 private:
  static constexpr double usual_step_s = OscillatorFilter::frames_per_observation * frame_s;
  const OscillatorModel& model_;
  Transition usual_transition_;
};

void rotate(double& in_phase, double& quadrature, const Transition& transition) {
  const double old = in_phase;
  in_phase = transition.c * old + transition.s * quadrature;
  quadrature = transition.c * quadrature - transition.s * old;
}

void predict(GaussianState& state, const Transition& transition) {
  const double c = transition.c, s = transition.s, ii = state.ii, iq = state.iq, qq = state.qq;
  rotate(state.in_phase, state.quadrature, transition);
  rotate(state.di, state.dq, transition);
  state.ii = c * c * ii + 2 * c * s * iq + s * s * qq + transition.oscillation_variance;
  state.qq = s * s * ii - 2 * c * s * iq + c * c * qq + transition.oscillation_variance;
  state.iq = c * s * (qq - ii) + (c * c - s * s) * iq;
  state.dd += transition.drift_variance;
}

/// How much of what a look says beyond the expected goes to each.
struct KalmanGain {
  double innovation = 0, innovation_variance = 1, drift = 0, in_phase = 0,
         quadrature = 0;        ///< the last three: covariances with the look
  double inverse_variance = 1;  ///< of the variance
  KalmanGain(const GaussianState& state, double cents, double noise_variance)
      : innovation(cents - state.drift - state.in_phase),
        drift(state.dd + state.di),
        in_phase(state.di + state.ii),
        quadrature(state.dq + state.iq) {
    innovation_variance = drift + in_phase + noise_variance;
    inverse_variance = 1 / innovation_variance;
  }
};

void kalman_update(GaussianState& state, const KalmanGain& gain) {
  const double w = gain.drift * gain.inverse_variance, s = gain.in_phase * gain.inverse_variance,
               a = gain.quadrature * gain.inverse_variance;
  state.drift += w * gain.innovation, state.in_phase += s * gain.innovation, state.quadrature += a * gain.innovation;
  state.dd -= w * gain.drift, state.di -= w * gain.in_phase, state.dq -= w * gain.quadrature;
  state.ii -= s * gain.in_phase, state.iq -= s * gain.quadrature, state.qq -= a * gain.quadrature;
}

void kalman_update(WindowSum& sum, const KalmanGain& gain) {
  const double with_observation = sum.with_drift + sum.with_in_phase, share = with_observation * gain.inverse_variance;
  sum.mean += share * gain.innovation;
  sum.with_drift -= share * gain.drift, sum.with_in_phase -= share * gain.in_phase,
      sum.with_quadrature -= share * gain.quadrature;
  sum.variance -= share * with_observation;
}

void add_oscillation(WindowSum& sum, const GaussianState& state) {
  sum.mean += state.in_phase;
  sum.variance += 2 * sum.with_in_phase + state.ii;
  sum.with_drift += state.di, sum.with_in_phase += state.ii, sum.with_quadrature += state.iq;
}

GaussianState initial_state(const OscillatorModel& model, double first_cents) {
  constexpr double far_cents = 300;  // says nothing of where the note is
  GaussianState state;
  state.drift = first_cents;
  state.dd = far_cents * far_cents;
  state.ii = state.qq = model.sd_cents * model.sd_cents;
  return state;
}

/// Logarithm of a product of many factors, with one logarithm for many of them.
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

using Vector = std::array<double, 3>;

/// What is expected at a look when all after it is known: mean + cov F' (predicted cov)^-1 (later - predicted).
Vector rts_step(const GaussianState& now, const GaussianState& next, const Transition& transition,
                const Vector& later) {
  // predicted covariance | later - predicted, solved by Gauss-Jordan
  std::array<std::array<double, 4>, 3> rows = {{{next.dd, next.di, next.dq, later[0] - next.drift},
                                                {next.di, next.ii, next.iq, later[1] - next.in_phase},
                                                {next.dq, next.iq, next.qq, later[2] - next.quadrature}}};
  for (std::size_t p = 0; p < 3; ++p)
    for (std::size_t i = 0; i < 3; ++i) {
      const double by = i == p ? 0 : rows[i][p] / rows[p][p];
      for (std::size_t j = p; j < 4; ++j) rows[i][j] -= by * rows[p][j];
    }
  const double w = rows[0][3] / rows[0][0], s = rows[1][3] / rows[1][1], a = rows[2][3] / rows[2][2];
  const double back_s = transition.c * s - transition.s * a, back_a = transition.s * s + transition.c * a;
  return {now.drift + now.dd * w + now.di * back_s + now.dq * back_a,
          now.in_phase + now.di * w + now.ii * back_s + now.iq * back_a,
          now.quadrature + now.dq * w + now.iq * back_s + now.qq * back_a};
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

/// Variance of single looks' errors, from second differences.
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
    if (observation.in_window) add_oscillation(sum, state);
  }
  return {-0.5 * (variances.log() + squared_innovations), sum.mean, std::max(0.0, sum.variance)};
}

std::vector<double> OscillatorFilter::rts_smooth(const OscillatorModel& model) const {
  const Transitions transitions(model);
  std::vector<std::array<GaussianState, 2>> kept;  // before and after each look
  GaussianState state = initial_state(model, observations_.front().cents);
  for (const Observation& observation : observations_) {
    if (observation.step_s > 0) predict(state, transitions.over(observation.step_s));
    const GaussianState before = state;
    kalman_update(state, KalmanGain(state, observation.cents, noise_variance_));
    kept.push_back({before, state});
  }
  std::vector<double> in_phase(observations_.size());
  Vector later = {state.drift, state.in_phase, state.quadrature};
  in_phase.back() = later[1];
  for (std::size_t i = observations_.size() - 1; i-- > 0;) {
    later = rts_step(kept[i][1], kept[i + 1][0], transitions.over(observations_[i + 1].step_s), later);
    in_phase[i] = later[1];
  }
  return in_phase;
}

}  // namespace firmus::measure
