// Kalman filter and Rauch-Tung-Striebel smoother of a random walk plus a damped stochastic oscillator, both observed in
// one sum with white noise. State: drift (the random walk), in-phase and quadrature component of the oscillator; only
// drift + in-phase is observed. (Kalman, J. Basic Engineering 82, 1960; Harvey, Forecasting, Structural Time Series
// Models and the Kalman Filter, 1989, section 2.3.4, for the stochastic cycle; Rauch, Tung & Striebel, AIAA Journal
// 3(8), 1965.)
#pragma once
#include <array>
#include <cmath>
#include <numbers>

#include "base/simd.hpp"

namespace firmus::measure {

struct OscillatorModel {
  double drift_cents_per_root_s = 0;  ///< standard deviation of the random walk after one second
  double sd_cents = 0;                ///< stationary standard deviation of the oscillator; 0: none
  double rate_hz = 0;
  double decay_time_s = 1;  ///< the oscillator's autocorrelation falls to 1/e in this time
};

/// Means, and covariances (symmetric, the upper half) of drift (d), in-phase (i) and quadrature (q) component. Value:
/// double, or double4 for four models at once that differ in their drift alone.
template <typename Value>
struct BasicState {
  Value drift{}, in_phase{}, quadrature{};
  Value dd{}, di{}, dq{}, ii{}, iq{}, qq{};
};
using GaussianState = BasicState<double>;

/// The prior at the first observation: drift about it with a standard deviation that leaves the pitch free, the
/// oscillator in its stationary distribution.
template <typename Value>
FIRMUS_INLINE void set_initial(const OscillatorModel& model, double first_cents, BasicState<Value>& state) {
  constexpr double free_sd_cents = 300;
  state = {};
  state.drift = state.drift + first_cents;
  state.dd = state.dd + free_sd_cents * free_sd_cents;
  state.ii = state.qq = state.qq + model.sd_cents * model.sd_cents;
}
inline GaussianState initial_state(const OscillatorModel& model, double first_cents) {
  GaussianState state;
  set_initial(model, first_cents, state);
  return state;
}

/// One step of the model: the oscillator rotates and decays, and process noise drives it and the drift.
struct Transition {
  double c = 0, s = 0;  ///< the oscillator's transition matrix is (c s; -s c)
  double drift_variance = 0, oscillator_variance = 0;
  Transition(const OscillatorModel& model, double step_s) {
    const double keep = std::exp(-step_s / model.decay_time_s), angle = 2 * std::numbers::pi * model.rate_hz * step_s;
    c = keep * std::cos(angle), s = keep * std::sin(angle);
    drift_variance = model.drift_cents_per_root_s * model.drift_cents_per_root_s * step_s;
    oscillator_variance = model.sd_cents * model.sd_cents * (1 - keep * keep);
  }
};

template <typename Value>
FIRMUS_INLINE void rotate(Value& in_phase, Value& quadrature, const Transition& transition) {
  const Value old = in_phase;
  in_phase = transition.c * old + transition.s * quadrature;
  quadrature = transition.c * quadrature - transition.s * old;
}

/// `drift_variance`: that of the transition, or of four that differ in it.
template <typename Value>
FIRMUS_INLINE void predict(BasicState<Value>& state, const Transition& transition, const Value& drift_variance) {
  const double c = transition.c, s = transition.s;
  const Value ii = state.ii, iq = state.iq, qq = state.qq;
  rotate(state.in_phase, state.quadrature, transition);
  rotate(state.di, state.dq, transition);
  state.ii = c * c * ii + 2 * c * s * iq + s * s * qq + transition.oscillator_variance;
  state.qq = s * s * ii - 2 * c * s * iq + c * c * qq + transition.oscillator_variance;
  state.iq = c * s * (qq - ii) + (c * c - s * s) * iq;
  state.dd += drift_variance;
}
inline void predict(GaussianState& state, const Transition& transition) {
  predict(state, transition, transition.drift_variance);
}

/// The innovation of one observation and the covariances of the state with it; each divided by the innovation variance
/// is the Kalman gain of its component.
template <typename Value>
struct BasicGain {
  Value innovation;  ///< observed minus predicted
  Value innovation_variance, inverse_variance;
  Value drift, in_phase, quadrature;  ///< covariances of the predicted state with the observation
  [[gnu::always_inline]] BasicGain(const BasicState<Value>& predicted, double observed_cents, double noise_variance)
      : innovation(observed_cents - predicted.drift - predicted.in_phase),
        drift(predicted.dd + predicted.di),
        in_phase(predicted.di + predicted.ii),
        quadrature(predicted.dq + predicted.iq) {
    innovation_variance = drift + in_phase + noise_variance;
    inverse_variance = 1 / innovation_variance;
  }
};

using KalmanGain = BasicGain<double>;

template <typename Value>
FIRMUS_INLINE void kalman_update(BasicState<Value>& state, const BasicGain<Value>& gain) {
  const Value d = gain.drift * gain.inverse_variance, i = gain.in_phase * gain.inverse_variance,
              q = gain.quadrature * gain.inverse_variance;
  state.drift += d * gain.innovation, state.in_phase += i * gain.innovation, state.quadrature += q * gain.innovation;
  state.dd -= d * gain.drift, state.di -= d * gain.in_phase, state.dq -= d * gain.quadrature;
  state.ii -= i * gain.in_phase, state.iq -= i * gain.quadrature, state.qq -= q * gain.quadrature;
}

using StateMean = std::array<double, 3>;  ///< drift, in-phase, quadrature

/// Rauch-Tung-Striebel step: mean of the state given all observations, from the filtered state, the prediction made
/// from it, and the smoothed mean one step later: mean + P F' (predicted P)^-1 (later - predicted).
inline StateMean rts_step(const GaussianState& filtered, const GaussianState& predicted, const Transition& transition,
                          const StateMean& later) {
  // predicted covariance | later - predicted, solved by Gauss-Jordan
  std::array<std::array<double, 4>, 3> rows = {
      {{predicted.dd, predicted.di, predicted.dq, later[0] - predicted.drift},
       {predicted.di, predicted.ii, predicted.iq, later[1] - predicted.in_phase},
       {predicted.dq, predicted.iq, predicted.qq, later[2] - predicted.quadrature}}};
  for (std::size_t p = 0; p < 3; ++p)
    for (std::size_t i = 0; i < 3; ++i) {
      const double by = i == p ? 0 : rows[i][p] / rows[p][p];
      for (std::size_t j = p; j < 4; ++j) rows[i][j] -= by * rows[p][j];
    }
  const double d = rows[0][3] / rows[0][0], i = rows[1][3] / rows[1][1], q = rows[2][3] / rows[2][2];
  const double back_i = transition.c * i - transition.s * q, back_q = transition.s * i + transition.c * q;
  return {filtered.drift + filtered.dd * d + filtered.di * back_i + filtered.dq * back_q,
          filtered.in_phase + filtered.di * d + filtered.ii * back_i + filtered.iq * back_q,
          filtered.quadrature + filtered.dq * d + filtered.iq * back_i + filtered.qq * back_q};
}

}  // namespace firmus::measure
