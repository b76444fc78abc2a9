// Kalman filter and Rauch-Tung-Striebel smoother of a random walk plus a damped stochastic oscillator, both observed in
// one sum with white noise. State: drift (the random walk), in-phase and quadrature component of the oscillator; only
// drift + in-phase is observed. (Kalman, J. Basic Engineering 82, 1960; Harvey, Forecasting, Structural Time Series
// Models and the Kalman Filter, 1989, section 2.3.4, for the stochastic cycle; Rauch, Tung & Striebel, AIAA Journal
// 3(8), 1965.)
#pragma once
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::measure {

struct OscillatorModel {
  double drift_cents_per_root_s = 0;  ///< standard deviation of the random walk after one second
  double sd_cents = 0;                ///< stationary standard deviation of the oscillator; 0: none
  double rate_hz = 0;
  double decay_time_s = 1;  ///< the oscillator's autocorrelation falls to 1/e in this time
};

/// Means, and covariances (symmetric, the upper half) of drift (d), in-phase (i) and quadrature (q) component.
struct GaussianState {
  double drift = 0, in_phase = 0, quadrature = 0;
  double dd = 0, di = 0, dq = 0, ii = 0, iq = 0, qq = 0;
};

/// The prior at the first observation: drift about it with a standard deviation that leaves the pitch free, the
/// oscillator in its stationary distribution.
inline GaussianState initial_state(const OscillatorModel& model, double first_cents) {
  constexpr double free_sd_cents = 300;
  GaussianState state;
  state.drift = first_cents;
  state.dd = free_sd_cents * free_sd_cents;
  state.ii = state.qq = model.sd_cents * model.sd_cents;
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

inline void rotate(double& in_phase, double& quadrature, const Transition& transition) {
  const double old = in_phase;
  in_phase = transition.c * old + transition.s * quadrature;
  quadrature = transition.c * quadrature - transition.s * old;
}

inline void predict(GaussianState& state, const Transition& transition) {
  const double c = transition.c, s = transition.s, ii = state.ii, iq = state.iq, qq = state.qq;
  rotate(state.in_phase, state.quadrature, transition);
  rotate(state.di, state.dq, transition);
  state.ii = c * c * ii + 2 * c * s * iq + s * s * qq + transition.oscillator_variance;
  state.qq = s * s * ii - 2 * c * s * iq + c * c * qq + transition.oscillator_variance;
  state.iq = c * s * (qq - ii) + (c * c - s * s) * iq;
  state.dd += transition.drift_variance;
}

/// The innovation of one observation and the covariances of the state with it; each divided by the innovation variance
/// is the Kalman gain of its component.
struct KalmanGain {
  double innovation = 0;  ///< observed minus predicted
  double innovation_variance = 1, inverse_variance = 1;
  double drift = 0, in_phase = 0, quadrature = 0;  ///< covariances of the predicted state with the observation
  KalmanGain(const GaussianState& predicted, double observed_cents, double noise_variance)
      : innovation(observed_cents - predicted.drift - predicted.in_phase),
        drift(predicted.dd + predicted.di),
        in_phase(predicted.di + predicted.ii),
        quadrature(predicted.dq + predicted.iq) {
    innovation_variance = drift + in_phase + noise_variance;
    inverse_variance = 1 / innovation_variance;
  }
};

inline void kalman_update(GaussianState& state, const KalmanGain& gain) {
  const double d = gain.drift * gain.inverse_variance, i = gain.in_phase * gain.inverse_variance,
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
