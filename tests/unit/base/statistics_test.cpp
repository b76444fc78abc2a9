#include "base/statistics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace firmus;

TEST_CASE("the median of an even count is the mean of the two middle values") {
  CHECK(median({4, 1, 3, 2}) == doctest::Approx(2.5));
  CHECK(median({5, 1, 3}) == doctest::Approx(3));
}

TEST_CASE("the robust spread of a normal sample is its standard deviation") {
  // Median of |z| for a standard normal variable is 0.67449 (tables), and 1.4826 * 0.67449 = 1.
  CHECK(mad_sigma(std::vector<double>{-0.67449, 0.67449, 0.67449}, 0) == doctest::Approx(1.0).epsilon(0.0001));
}

TEST_CASE("a value far off does not move the biweight centre") {
  const std::vector<double> plain{-3, -1, 0, 1, 3};
  std::vector<double> spoilt = plain;
  spoilt.push_back(500);
  CHECK(biweight_centre(plain, 1) == doctest::Approx(0).epsilon(0.001));
  CHECK(std::abs(biweight_centre(spoilt, 1)) < 0.6);
}

TEST_CASE("the Theil-Sen slope is the median of the slopes between pairs") {
  // By hand: points (0,0) (1,1) (2,2) (3,30); slopes 1 1 10 1 14.5 28, in order 1 1 1 10 14.5 28: median 5.5.
  const std::vector<double> x{0, 1, 2, 3}, y{0, 1, 2, 30};
  CHECK(theil_sen(x, y, 1).slope == doctest::Approx(5.5));
}

TEST_CASE("Sen's interval for 20 points leaves 2.5 % of Kendall's distribution on either side") {
  // n = 20: var S = 20 * 19 * 45 / 18 = 950, 1.96 sd = 60.41; of 190 slopes the 64th and the 126th bound the interval.
  std::vector<double> x, y;
  for (int i = 0; i < 20; ++i) x.push_back(i), y.push_back(2.0 * i + (i % 2 == 0 ? 1 : -1));
  const SlopeEstimate fit = theil_sen(x, y, 1);
  CHECK(fit.slope == doctest::Approx(2).epsilon(0.001));
  CHECK(fit.ci95.first <= fit.slope);
  CHECK(fit.ci95.second >= fit.slope);
  CHECK(fit.ci95.first > 1.7);
  CHECK(fit.ci95.second < 2.3);
}

TEST_CASE("thousands of points give the slope of a line without all their pairs") {
  std::vector<double> x, y;
  for (int i = 0; i < 5000; ++i) x.push_back(i * 0.5), y.push_back(-0.25 * i * 0.5 + (i * 7919 % 13) - 6);
  CHECK(theil_sen(x, y, 1).slope == doctest::Approx(-0.25).epsilon(0.002));
}
