// The Kalman filter and the Rauch-Tung-Striebel smoother against closed forms, and against the same posterior computed
// in another way: Gaussian regression with the full covariance matrix of all observations, solved by Cholesky.
#include "../../../src/measure/kalman.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "../../../src/measure/oscillator_filter.hpp"
#include "synth.hpp"

using namespace firmus;
using namespace firmus::measure;

namespace {

using Matrix = std::vector<std::vector<double>>;

/// The lower triangle L with L L' = a.
Matrix cholesky(const Matrix& a) {
  Matrix l(a.size(), std::vector<double>(a.size(), 0.0));
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = a[i][j];
      for (std::size_t k = 0; k < j; ++k) sum -= l[i][k] * l[j][k];
      l[i][j] = i == j ? std::sqrt(sum) : sum / l[j][j];
    }
  return l;
}

/// x with (L L') x = b.
std::vector<double> solve(const Matrix& l, std::vector<double> b) {
  for (std::size_t i = 0; i < b.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) b[i] -= l[i][k] * b[k];
    b[i] /= l[i][i];
  }
  for (std::size_t i = b.size(); i-- > 0;) {
    for (std::size_t k = i + 1; k < b.size(); ++k) b[i] -= l[k][i] * b[k];
    b[i] /= l[i][i];
  }
  return b;
}

double dot(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

/// The posterior of the model given the data, computed without recursion.
struct Batch {
  std::vector<double> in_phase;  ///< posterior mean at each observation
  double log_likelihood = 0, window_sum = 0, window_sum_variance = 0;
};

/// Covariances: random walk from a prior of 300 cents: 300^2 + q min(t, u); damped stochastic oscillator:
/// sd^2 exp(-|t - u| / T) cos(2 pi f (t - u)).
Batch batch(const OscillatorModel& model, const std::vector<double>& time_s, const std::vector<double>& cents,
            double noise_variance, const std::vector<bool>& in_window) {
  const std::size_t n = cents.size();
  Matrix oscillator(n, std::vector<double>(n)), all(n, std::vector<double>(n));
  std::vector<double> residual(n), window(n);
  for (std::size_t i = 0; i < n; ++i) {
    residual[i] = cents[i] - cents[0], window[i] = in_window[i] ? 1 : 0;
    for (std::size_t j = 0; j < n; ++j) {
      const double lag = std::abs(time_s[i] - time_s[j]);
      oscillator[i][j] = model.sd_cents * model.sd_cents * std::exp(-lag / model.decay_time_s) *
                         std::cos(2 * std::numbers::pi * model.rate_hz * lag);
      all[i][j] =
          oscillator[i][j] + 300.0 * 300.0 +
          model.drift_cents_per_root_s * model.drift_cents_per_root_s * (std::min(time_s[i], time_s[j]) - time_s[0]) +
          (i == j ? noise_variance : 0);
    }
  }
  const Matrix factor = cholesky(all);
  const std::vector<double> weights = solve(factor, residual);
  Batch result;
  std::vector<double> window_covariance(n);
  for (std::size_t i = 0; i < n; ++i) {
    result.in_phase.push_back(dot(oscillator[i], weights));
    window_covariance[i] = dot(oscillator[i], window);
    result.log_likelihood -= std::log(factor[i][i]);
  }
  result.log_likelihood -= 0.5 * dot(residual, weights);
  result.window_sum = dot(window_covariance, weights);
  result.window_sum_variance =
      dot(window, window_covariance) - dot(window_covariance, solve(factor, window_covariance));
  return result;
}

/// A note of `frames` frames with a pause of 35 ms after the first third.
NoteSeries random_note(std::size_t frames, std::uint64_t seed) {
  NoteSeries series;
  synth::Random random(seed);
  double walk = 0;
  for (std::size_t i = 0; i < frames; ++i) {
    const double time_s = static_cast<double>(i) * frame_s + (i > frames / 3 ? 0.035 : 0);
    walk += 15 * std::sqrt(frame_s) * random.normal();
    series.time_s.push_back(time_s);
    series.cents.push_back(walk + 12 * std::sin(2 * std::numbers::pi * 5.8 * time_s) + 1.5 * random.normal());
    series.level_db.push_back(-20);
  }
  return series;
}

}  // namespace

TEST_CASE("A random walk in noise: variance and gain settle at the solution of the algebraic Riccati equation") {
  // 10 cents per root second over 10 ms: Q = 1. With R = 2 the predicted variance P = Q + P R / (P + R) is
  // (Q + sqrt(Q^2 + 4 Q R)) / 2 = 2, the gain P / (P + R) = 1/2, the filtered variance 1.
  const OscillatorModel model{10, 0, 0, 1};
  const Transition transition(model, 0.01);
  GaussianState state = initial_state(model, 0);
  double gain = 0, predicted = 0;
  for (int i = 0; i < 100; ++i) {
    predict(state, transition);
    predicted = state.dd;
    const KalmanGain found(state, 3.0, 2.0);
    gain = found.drift * found.inverse_variance;
    kalman_update(state, found);
  }
  CHECK(predicted == doctest::Approx(2).epsilon(1e-9));
  CHECK(gain == doctest::Approx(0.5).epsilon(1e-9));
  CHECK(state.dd == doctest::Approx(1).epsilon(1e-9));
  CHECK(state.drift == doctest::Approx(3).epsilon(1e-9));
  CHECK(state.ii == 0);
}

TEST_CASE("Two observations of a random walk give the posterior computed by hand") {
  // Prior variance 90000, R = 2, Q = 1. After the first observation 180000/90002; predicted 270002/90002; gain of the
  // second 270002/450006; variance 2 * 270002/450006.
  const OscillatorModel model{10, 0, 0, 1};
  GaussianState state = initial_state(model, 40);
  kalman_update(state, KalmanGain(state, 40, 2));
  CHECK(state.drift == 40);
  CHECK(state.dd == doctest::Approx(180000.0 / 90002).epsilon(1e-9));
  predict(state, Transition(model, 0.01));
  CHECK(state.dd == doctest::Approx(270002.0 / 90002).epsilon(1e-9));
  const KalmanGain gain(state, 43, 2);
  CHECK(gain.innovation == doctest::Approx(3));
  CHECK(gain.innovation_variance == doctest::Approx(450006.0 / 90002).epsilon(1e-9));
  kalman_update(state, gain);
  CHECK(state.drift == doctest::Approx(40 + 3 * 270002.0 / 450006).epsilon(1e-9));
  CHECK(state.dd == doctest::Approx(2 * 270002.0 / 450006).epsilon(1e-9));
}

TEST_CASE("A quarter turn of the oscillator carries the in-phase into the quadrature component") {
  // 25 Hz over 10 ms is a quarter turn. Standard deviation 3, R = 1: an observation of 2 has gain 9/10, so 1.8 with
  // variance 0.9. A quarter turn later in-phase is the old quadrature, of which nothing was observed.
  const OscillatorModel model{0, 3, 25, 1e12};
  GaussianState state = initial_state(model, 0);
  state.dd = 0;
  kalman_update(state, KalmanGain(state, 2, 1));
  CHECK(state.in_phase == doctest::Approx(1.8));
  CHECK(state.ii == doctest::Approx(0.9));
  predict(state, Transition(model, 0.01));
  CHECK(std::abs(state.in_phase) < 1e-9);
  CHECK(state.quadrature == doctest::Approx(-1.8));
  CHECK(state.ii == doctest::Approx(9));
  CHECK(state.qq == doctest::Approx(0.9));
}

TEST_CASE("Without observations the oscillator stays in its stationary distribution") {
  const OscillatorModel model{0, 5, 6, 0.4};
  GaussianState state = initial_state(model, 0);
  for (int i = 0; i < 50; ++i) predict(state, Transition(model, 0.013));
  CHECK(state.ii == doctest::Approx(25));
  CHECK(state.qq == doctest::Approx(25));
  CHECK(std::abs(state.iq) < 1e-9);
}

TEST_CASE("Likelihood, smoothed oscillation and window sum equal those of Gaussian regression on all observations") {
  const NoteSeries series = random_note(121, 9001);
  const Part part{5, 120}, window{30, 100};
  const OscillatorFilter filter(series, series.cents, part, window);
  std::vector<double> time_s, cents;
  std::vector<bool> in_window;
  for (std::size_t i = part.from; i < part.to; i += 2) {
    time_s.push_back(series.time_s[i]), cents.push_back(series.cents[i]);
    in_window.push_back(i >= window.from && i < window.to);
  }
  REQUIRE(filter.observation_count() == cents.size());
  for (const OscillatorModel& model : {OscillatorModel{15, 10, 5.8, 1}, OscillatorModel{2, 27, 4.5, 0.3},
                                       OscillatorModel{45, 3, 7.5, 1}, OscillatorModel{8, 15, 1.5, 0.3}}) {
    CAPTURE(model.rate_hz);
    const Batch expected = batch(model, time_s, cents, filter.noise_variance(), in_window);
    const std::array<double, models_at_once> drifts{model.drift_cents_per_root_s, 4, 70, 0.5};
    const auto found = filter.filter(model, drifts);
    for (std::size_t lane = 0; lane < models_at_once; ++lane) {
      CAPTURE(lane);
      OscillatorModel of_lane = model;
      of_lane.drift_cents_per_root_s = drifts[lane];
      const Batch of_batch = batch(of_lane, time_s, cents, filter.noise_variance(), in_window);
      CHECK(found[lane].log_likelihood == doctest::Approx(of_batch.log_likelihood).epsilon(1e-7));
      CHECK(std::abs(found[lane].window_sum - of_batch.window_sum) < 1e-5);
      CHECK(found[lane].window_sum_variance == doctest::Approx(of_batch.window_sum_variance).epsilon(1e-5));
    }
    const std::vector<double> smoothed = filter.rts_smooth(model);
    REQUIRE(smoothed.size() == expected.in_phase.size());
    double worst = 0;
    for (std::size_t i = 0; i < smoothed.size(); ++i)
      worst = std::max(worst, std::abs(smoothed[i] - expected.in_phase[i]));
    CHECK(worst < 1e-6);
  }
}

TEST_CASE("The log likelihood of drift alone is that of the random walk's Gaussian density") {
  const NoteSeries series = random_note(60, 9002);
  const OscillatorFilter filter(series, series.cents, {0, 60}, {0, 60});
  std::vector<double> time_s, cents;
  for (std::size_t i = 0; i < 60; i += 2) time_s.push_back(series.time_s[i]), cents.push_back(series.cents[i]);
  const OscillatorModel model{20, 0, 0, 1};
  const Batch expected = batch(model, time_s, cents, filter.noise_variance(), std::vector<bool>(30, true));
  const FilterResult found = filter.filter(model, {20, 20, 20, 20})[3];
  CHECK(found.log_likelihood == doctest::Approx(expected.log_likelihood).epsilon(1e-7));
  CHECK(found.window_sum == 0);
}

TEST_CASE("The noise variance is a sixth of the mean square second difference, floored and clipped") {
  NoteSeries series = random_note(41, 9003);
  const auto noise_of = [&](double value) {
    for (std::size_t i = 0; i < series.size(); ++i) series.cents[i] = i / 2 % 2 == 0 ? value : -value;
    return OscillatorFilter(series, series.cents, {0, 41}, {0, 41}).noise_variance();
  };
  CHECK(noise_of(1) == doctest::Approx(16.0 / 6));    // second differences of +1, -1, +1: 4
  CHECK(noise_of(0.01) == doctest::Approx(0.16));     // not below 0.4 cents
  CHECK(noise_of(50) == doctest::Approx(400.0 / 6));  // second differences of 200 count as 20
}
