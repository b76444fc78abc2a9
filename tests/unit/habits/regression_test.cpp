// The parts of the regression against cases worked out by hand and against reference values of R.
#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "ar1_whitening.hpp"
#include "forward_selection.hpp"
#include "huber_regression.hpp"

using namespace firmus::habits;
using doctest::Approx;

namespace {

NoteSeries four_notes() {
  NoteSeries series;
  series.cents = {4, 10, 2, 6};
  series.se_cents = {0, 0, 0, 0};
  series.position = {-0.5, -0.1, 0.1, 0.5};
  series.members = {{0, 1, 1, 0}};
  return series;
}

void check_column(const Column& column, const std::vector<double>& expected) {
  REQUIRE(column.size() == expected.size());
  for (std::size_t k = 0; k < expected.size(); ++k) {
    CAPTURE(k);
    CHECK(column[k] == Approx(expected[k]).epsilon(1e-9));
  }
}

}  // namespace

TEST_CASE("without outliers the robust fit is ordinary least squares, with its standard errors") {
  // y = 3 + 2 x + r with r = 1 -2 0 2 -1, orthogonal to 1 and x: least squares gives 3 and 2. Residual sum of squares
  // 10 with 3 degrees of freedom; sum of x^2 10: se of the slope sqrt(10/3/10), of the intercept sqrt(10/3/5).
  const HuberFit fit = fit_huber({0, -1, 3, 7, 6}, {{1, 1, 1, 1, 1}, {-2, -1, 0, 1, 2}});
  CHECK(fit.beta[0] == Approx(3));
  CHECK(fit.beta[1] == Approx(2));
  const EffectEstimate intercept = effect_estimate(fit, 0), slope = effect_estimate(fit, 1);
  CHECK(intercept.se == Approx(0.816497).epsilon(1e-5));
  CHECK(slope.se == Approx(0.577350).epsilon(1e-5));
  CHECK(slope.df == 3);
}

TEST_CASE("a gross outlier pulls the mean of nine values only as far as the clip") {
  // Values -4 ... 3 and 400. At the solution m the clipped deviations sum to 0: 8 m = -4 + 2 s. For m below 1/2 the
  // median deviation is 2 + m, so s = c (2 + m) with c = 1.4826 sqrt(9/8), and m = (4 c - 4) / (8 - 2 c) = 0.4717140.
  // MASS 7.3: rlm(cbind(rep(1, 9)), y, k = 2 * sqrt(9/8)) gives 0.471692 (its MAD is over 0.6745, not times 1.4826).
  const HuberFit fit = fit_huber({-4, -3, -2, -1, 0, 1, 2, 3, 400}, {Column(9, 1.0)});
  CHECK(fit.beta[0] == Approx(0.4717141).epsilon(1e-6));
  CHECK(fit.scale == Approx(3.886856).epsilon(1e-6));
}

TEST_CASE("Huber regression of Brownlee's stack loss data is that of R") {
  // Data: R's stackloss (Brownlee 1965). MASS 7.3 in R 4.2.2: rlm(cbind(1, as.matrix(stackloss[, 1:3])),
  // stackloss$stack.loss, psi = psi.huber, k = 2 * sqrt(21/17), maxit = 1000, acc = 1e-14); the factor because rlm's
  // scale lacks sqrt(n / (n - p)), and its MAD is over 0.6745, not times 1.4826. Its standard errors differ by up to 1
  // %: it takes a variance over n - 1 where Huber has n.
  const Column loss = {42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14, 13, 11, 12, 8, 7, 8, 8, 9, 15, 15};
  const Column air = {80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70};
  const Column water = {27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20};
  const Column acid = {89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91};
  const HuberFit fit = fit_huber(loss, {Column(21, 1.0), air, water, acid});
  const double beta[] = {-40.2370047, 0.73018604, 1.25514844, -0.14835071},
               se[] = {12.1936893, 0.13823296, 0.37723392, 0.16020524};
  for (std::size_t j = 0; j < 4; ++j) {
    CAPTURE(j);
    CHECK(fit.beta[j] == Approx(beta[j]).epsilon(2e-5));
    CHECK(effect_estimate(fit, j).se == Approx(se[j]).epsilon(0.01));
  }
  CHECK(fit.scale == Approx(3.315404).epsilon(2e-5));
}

TEST_CASE("whitening takes rho times the row before from each row, and scales the first") {
  // rho = 1/2: sqrt(3/4) 4, 10 - 2, 2 - 5, 6 - 1.
  const WhitenedSeries whitened = whiten(four_notes(), 0.5);
  check_column(whitened.y, {3.464101615, 8, -3, 5});
  check_column(whitened.base[0], {0.866025404, 0.5, 0.5, 0.5});
  check_column(whitened.groups[0], {0, 1, 0.5, -0.5});
}

TEST_CASE("whitening restarts at the first note of a melody") {
  NoteSeries series = four_notes();
  series.begins = {true, false, true, false};
  check_column(whiten(series, 0.5).y, {3.464101615, 8, 1.732050808, 5});
}

TEST_CASE("whitening leaves the innovations of an AR(1) series") {
  const std::vector<double> innovations = {3, -1, 4, -1, 5, -9, 2, 6};
  NoteSeries series;
  for (std::size_t k = 0; k < innovations.size(); ++k) {
    series.cents.push_back((k > 0 ? 0.6 * series.cents.back() : 0) + innovations[k]);
    series.position.push_back(static_cast<double>(k) / 7 - 0.5);
  }
  series.se_cents.assign(innovations.size(), 0.0);
  const Column y = whiten(series, 0.6).y;
  CHECK(y[0] == Approx(0.8 * 3));
  for (std::size_t k = 1; k < y.size(); ++k) CHECK(y[k] == Approx(innovations[k]));
}

TEST_CASE("the lag-1 autocorrelation is corrected for a short series and shrunk towards 0.3") {
  // Of 8 values +-1 the sum of products is 1 for pairs and -7 for alternating signs. raw 1/8, (1/8 + 2/8) / (1 - 4/8) =
  // 3/4, (8 * 3/4 + 28 * 0.3) / 36 = 0.4; alternating: -7/8, -5/4, below 0.
  const Lag1Autocorrelation pairs = lag1_autocorrelation({1, 1, -1, -1, 1, 1, -1, -1});
  CHECK(pairs.raw == Approx(0.125));
  CHECK(pairs.corrected == Approx(0.75));
  CHECK(pairs.rho == Approx(0.4));
  const Lag1Autocorrelation alternating = lag1_autocorrelation({1, -1, 1, -1, 1, -1, 1, -1});
  CHECK(alternating.raw == Approx(-0.875));
  CHECK(alternating.corrected == Approx(-1.25));
  CHECK(alternating.rho == 0);
}

TEST_CASE("the minimum detectable effect is above that of a test whose scatter it did not change") {
  // R: uniroot(function(d) pt(qt(.975, df), df, d / 4, lower = FALSE) - .9, c(5, 40))$root for a standard error of 4. A
  // tendency in the take itself also widens the scatter; that nine in ten are found is shown by the simulation.
  struct Power {
    double df, cents;
  };
  for (const Power& power : {Power{18, 13.717763}, Power{40, 13.289122}, Power{100, 13.092424}}) {
    CAPTURE(power.df);
    GroupTest test;
    test.se = 4;
    test.df = power.df;
    CHECK(minimum_detectable_cents(test, 1) > power.cents);
    CHECK(minimum_detectable_cents(test, 1) < 1.4 * power.cents);
  }
}
