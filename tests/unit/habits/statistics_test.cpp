// The parts of the statistics against certified values and published tables.
#include "base/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "base/student_t.hpp"
#include "design_matrix.hpp"
#include "huber_regression.hpp"

using namespace firmus;
using namespace firmus::habits;
using doctest::Approx;

namespace {

// NIST StRD univariate, Mavro (50 values, second of three of its difficulty classes).
const std::vector<double> mavro = {
    2.00180, 2.00170, 2.00180, 2.00190, 2.00180, 2.00170, 2.00150, 2.00140, 2.00150, 2.00150, 2.00170, 2.00180, 2.00180,
    2.00190, 2.00190, 2.00210, 2.00200, 2.00160, 2.00140, 2.00130, 2.00130, 2.00150, 2.00150, 2.00160, 2.00150, 2.00140,
    2.00130, 2.00140, 2.00150, 2.00140, 2.00150, 2.00160, 2.00150, 2.00160, 2.00190, 2.00200, 2.00200, 2.00210, 2.00220,
    2.00230, 2.00240, 2.00250, 2.00270, 2.00260, 2.00260, 2.00260, 2.00270, 2.00260, 2.00250, 2.00240};

// NIST StRD univariate, Michelso (100 values: Michelson's speed of light, 1000 km/s), in units of 10 km/s over 299000.
const std::vector<int> michelso_10_km_s = {
    85, 74, 90, 107, 93, 85, 95, 98, 98, 88, 100, 98, 93, 65, 76, 81, 100, 100, 96, 96, 96, 94, 96, 94, 88,
    80, 85, 88, 90,  84, 83, 79, 81, 88, 88, 83,  80, 79, 76, 80, 88, 88,  88,  86, 72, 72, 62, 86, 97, 95,
    88, 91, 85, 87,  84, 84, 85, 84, 84, 84, 89,  81, 81, 82, 80, 77, 76,  74,  75, 76, 91, 92, 89, 86, 88,
    72, 84, 85, 85,  78, 89, 84, 78, 81, 76, 81,  79, 81, 82, 85, 87, 87,  81,  74, 81, 94, 95, 80, 81, 87};

}  // namespace

TEST_CASE("mean and standard deviation of NIST StRD Mavro to 11 digits") {
  // Data set from memory; both certified values come out, which pins it.
  const MeanAndSd found = mean_and_sd(mavro);
  CHECK(found.mean == Approx(2.001856).epsilon(1e-12));
  CHECK(found.sd == Approx(0.000429123453004053).epsilon(1e-11));
}

TEST_CASE("mean and standard deviation of NIST StRD Michelso to 11 digits") {
  std::vector<double> values;
  for (const int value : michelso_10_km_s) values.push_back((29900000 + 1000 * value) / 1e5);
  const MeanAndSd found = mean_and_sd(values);
  CHECK(found.mean == Approx(299.8524).epsilon(1e-12));
  CHECK(found.sd == Approx(0.0790105478190518).epsilon(1e-11));
}

TEST_CASE("mean and standard deviation of NIST StRD NumAcc4 keep 8 digits of a spread 1e-8 of the mean") {
  // NumAcc4: 10000000.2, then 500 times 10000000.1 and 10000000.3.
  std::vector<double> values{10000000.2};
  for (int i = 0; i < 500; ++i) values.insert(values.end(), {10000000.1, 10000000.3});
  const MeanAndSd found = mean_and_sd(values);
  CHECK(found.mean == Approx(10000000.2).epsilon(1e-15));
  CHECK(found.sd == Approx(0.1).epsilon(1e-8));
}

TEST_CASE("Student's paired sleep data") {
  // Student 1908, extra hours of sleep under two drugs; t and p as R gives them (method notes of the project).
  const std::vector<double> first = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
  const std::vector<double> second = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};
  std::vector<double> difference;
  for (std::size_t i = 0; i < first.size(); ++i) difference.push_back(first[i] - second[i]);
  const MeanAndSd found = mean_and_sd(difference);
  const double se = found.sd / std::sqrt(10.0);
  CHECK(found.mean == Approx(-1.58));
  CHECK(found.mean / se == Approx(-4.062128).epsilon(1e-6));
  CHECK(two_sided_p(found.mean / se, 9) == Approx(0.0028329).epsilon(1e-4));
  CHECK(found.mean - t_quantile(0.975, 9) * se == Approx(-2.4598858).epsilon(1e-7));
  CHECK(found.mean + t_quantile(0.975, 9) * se == Approx(-0.7001142).epsilon(1e-7));
}

TEST_CASE("quantiles of Student's t are those of the printed tables") {
  // Percentage points of t, two-sided 5 % and 1 %, as printed (Abramowitz and Stegun 1964, table 26.10).
  CHECK(t_quantile(0.975, 1) == Approx(12.706).epsilon(1e-4));
  CHECK(t_quantile(0.975, 4) == Approx(2.776).epsilon(2e-4));
  CHECK(t_quantile(0.975, 10) == Approx(2.228).epsilon(2e-4));
  CHECK(t_quantile(0.995, 10) == Approx(3.169).epsilon(2e-4));
  CHECK(t_quantile(0.975, 30) == Approx(2.042).epsilon(3e-4));
  CHECK(t_quantile(0.995, 120) == Approx(2.617).epsilon(2e-4));
  CHECK(two_sided_p(2.228, 10) == Approx(0.05).epsilon(1e-3));
  CHECK(two_sided_p(-2.228, 10) == Approx(0.05).epsilon(1e-3));
}

TEST_CASE("p-values of Student's t follow the closed forms for 1 and 2 degrees of freedom") {
  // 1 degree of freedom (Cauchy): p = 1 - 2 atan(t) / pi, so 1/2 at t = 1 and 1/3 at sqrt(3); 2: p = 1 - t / sqrt(t^2 +
  // 2).
  CHECK(two_sided_p(1, 1) == Approx(0.5));
  CHECK(two_sided_p(std::sqrt(3.0), 1) == Approx(1.0 / 3));
  CHECK(two_sided_p(std::sqrt(0.5), 2) == Approx(1 - std::sqrt(0.2)));
  CHECK(t_quantile(0.75, 1) == Approx(1));
  CHECK(two_sided_p(2.5, 7) == Approx(0.0409922186).epsilon(1e-8));  // R: 2 * pt(-2.5, 7)
}

TEST_CASE("the mean of six errors has the interval worked out by hand") {
  const std::vector<double> cents = {-18, -12, -25, -9, -21, -15};
  const MeanAndSd found = mean_and_sd(cents);
  const double se = found.sd / std::sqrt(6.0);
  CHECK(found.mean == Approx(-16.667).epsilon(1e-4));
  CHECK(found.mean - t_quantile(0.975, 5) * se == Approx(-22.846).epsilon(1e-4));
  CHECK(found.mean + t_quantile(0.975, 5) * se == Approx(-10.488).epsilon(1e-4));
  CHECK(two_sided_p(found.mean / se, 5) == Approx(0.000958).epsilon(1e-3));
}

TEST_CASE("the Theil-Sen slope is the median of all slopes") {
  CHECK(theil_sen_slope(std::vector<double>{0, 1, 2, 3}, std::vector<double>{0, 2, 4, 100}) ==
        Approx(53.0 / 3));  // of 2 2 2 33.3 49 96
  CHECK(theil_sen_slope(std::vector<double>{1, 1}, std::vector<double>{0, 2}) == 0);
}

TEST_CASE("least squares through a basis gives the line and its variance") {
  // y = 1 + 2 x on x = 0, 1, 2, 3, with the last value 1 too high: slope 2.3, intercept 0.8 (by hand).
  QrFactorization qr;
  CHECK(qr.add({1, 1, 1, 1}));
  CHECK(qr.add({0, 1, 2, 3}));
  CHECK_FALSE(qr.add({3, 2, 1, 0}));
  const std::vector<double> beta = qr.solve({1, 3, 5, 8});
  CHECK(beta[0] == Approx(0.8));
  CHECK(beta[1] == Approx(2.3));
  CHECK(qr.inverse_diagonal()[0] == Approx(0.7));  // 1/4 + 1.5^2 / 5
  CHECK(qr.inverse_diagonal()[1] == Approx(0.2));
}

TEST_CASE("one wild note hardly moves a robust fit") {
  const Column ones(9, 1.0);
  const HuberFit calm = fit_huber({-4, -3, -2, -1, 0, 1, 2, 3, 4}, {ones});
  const HuberFit wild = fit_huber({-4, -3, -2, -1, 0, 1, 2, 3, 400}, {ones});
  CHECK(calm.beta[0] == Approx(0).epsilon(1e-6));
  CHECK(std::abs(wild.beta[0]) < 1.5);
}
