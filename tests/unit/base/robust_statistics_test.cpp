// Robust statistics against reference values, computed once with R 4.2.2 (comments give each call). The data
// are R's: MASS::chem (copper in wholemeal flour, one gross outlier), MASS::abbey (nickel in syenite rock), and the
// first 40 years of datasets::Nile.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/statistics.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

const std::vector<double> chem{2.9,  3.1,  3.4,  3.4,  3.7,   3.7,  2.8, 2.5, 2.4, 2.4, 2.7, 2.2,
                               5.28, 3.37, 3.03, 3.03, 28.95, 3.77, 3.4, 2.2, 3.5, 3.6, 3.7, 3.7};
const std::vector<double> abbey{5.2, 6.5, 6.9, 7,    7,  7,  7.4, 8,  8,  8,  8,  8.5, 9,  9,  10, 11,
                                11,  12,  12,  13.7, 14, 14, 14,  16, 17, 17, 18, 24,  28, 34, 125};
const std::vector<double> nile{1120, 1160, 963,  1210, 1160, 1160, 813,  1230, 1370, 1140, 995,  935,  1110, 994,
                               1020, 960,  1180, 799,  958,  1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100,
                               774,  840,  874,  694,  940,  833,  701,  916,  692,  1020, 1050, 969};

std::vector<double> years(std::size_t count) {
  std::vector<double> x;
  for (std::size_t i = 0; i < count; ++i) x.push_back(1871 + static_cast<double>(i));
  return x;
}

}  // namespace

TEST_CASE("median and MAD are those of R") {
  CHECK(median(chem) == doctest::Approx(3.385));                      // median(chem)
  CHECK(mad_sigma(chem, median(chem)) == doctest::Approx(0.526323));  // mad(chem)
  CHECK(mad_sigma(chem, 3) == doctest::Approx(0.81543));              // mad(chem, center = 3)
  CHECK(median(abbey) == doctest::Approx(11));                        // median(abbey)
  CHECK(mad_sigma(abbey, 11) == doctest::Approx(4.4478));             // mad(abbey)
  CHECK(median({}) == 0);
}

TEST_CASE("the biweight centre is the root of the biweight's estimating equation, found by R's uniroot") {
  // bw <- function(x, least) { s <- max(1.4826 * median(abs(x - median(x))), least)
  //   psi <- function(m) { u <- (x - m) / (4.685 * s); sum(ifelse(abs(u) < 1, u * (1 - u^2)^2, 0)) }
  //   uniroot(psi, c(median(x) - s, median(x) + s), tol = 1e-14)$root }
  CHECK(biweight_centre(chem, 0) == doctest::Approx(3.14429446345).epsilon(1e-5));   // bw(chem, 0)
  CHECK(biweight_centre(chem, 2) == doctest::Approx(3.20193849944).epsilon(1e-5));   // bw(chem, 2)
  CHECK(biweight_centre(abbey, 0) == doctest::Approx(10.7044970471).epsilon(1e-4));  // bw(abbey, 0)
}

TEST_CASE("slope and interval of Sen's own example") {
  // Sen, J. Am. Statistical Association 63 (1968): slope 4, bounds 26/7 and 35/8 at 93 % (both recalled from memory;
  // R's sort(outer) of the 21 slopes has them at ranks 4 and 18). At 95 % the ranks are 3.97 and 18.03: the lower bound
  // lies between the 3rd and 4th slope, 11/3 and 26/7, the upper between the 18th and 19th, 35/8 and 5.
  const std::vector<double> t{1, 2, 3, 4, 10, 12, 18}, x{9, 15, 19, 20, 45, 55, 78};
  const SlopeEstimate fit = theil_sen(t, x, 1);
  CHECK(fit.slope == doctest::Approx(4));
  CHECK(theil_sen_slope(t, x) == doctest::Approx(4));
  CHECK(fit.ci95.first >= 11.0 / 3 - 1e-9);
  CHECK(fit.ci95.first <= 26.0 / 7 + 1e-9);
  CHECK(fit.ci95.second >= 35.0 / 8 - 1e-9);
  CHECK(fit.ci95.second <= 5 + 1e-9);
}

TEST_CASE("slope and interval of the Nile from 1871 to 1910 are those of R") {
  // i <- which(upper.tri(diag(40)), arr.ind = TRUE); s <- sort((y[i[,2]] - y[i[,1]]) / (x[i[,2]] - x[i[,1]]))
  // median(s): -6.1202381; 780 slopes, 1.959964 sqrt(40 39 85 / 18) = 168.22: ranks 305.89 and 475.11, s[305:306] and
  // s[475:476]: (-11.6538, -11.6) and (-1.33333, -1.28571).
  const SlopeEstimate fit = theil_sen(years(40), nile, 1);
  CHECK(fit.slope == doctest::Approx(-6.1202380953).epsilon(1e-8));
  CHECK(fit.ci95.first >= -11.6539);
  CHECK(fit.ci95.first <= -11.5999);
  CHECK(fit.ci95.second >= -1.33334);
  CHECK(fit.ci95.second <= -1.28571);
}

TEST_CASE("a variance factor of 4 doubles the ranks' distance from the middle") {
  // Ranks (780 - 2 x 168.22) / 2 = 221.8 and 559.2 of the same slopes; s[221:222] and s[559:560] in R: -16.66667 twice,
  // 4 and 4.0909.
  const SlopeEstimate fit = theil_sen(years(40), nile, 4);
  CHECK(fit.ci95.first >= -16.6667);
  CHECK(fit.ci95.first <= -16.6666);
  CHECK(fit.ci95.second >= 4.0 - 1e-9);
  CHECK(fit.ci95.second <= 4.0910);
}

TEST_CASE("on normal errors Sen's interval holds the slope in 93.5 to 97 of 100 samples, either side missed alike") {
  synth::Random random(9101);
  constexpr int samples = 4000;  // a share of 0.95 errs by 0.34 of 100
  int below = 0, above = 0;
  for (int sample = 0; sample < samples; ++sample) {
    std::vector<double> x, y;
    for (int i = 0; i < 30; ++i) x.push_back(i), y.push_back(0.3 * i + random.normal());
    const SlopeEstimate fit = theil_sen(x, y, 1);
    below += fit.ci95.second < 0.3 ? 1 : 0, above += fit.ci95.first > 0.3 ? 1 : 0;
  }
  const double held = 100.0 * (samples - below - above) / samples;
  CHECK(held >= 93.5);
  CHECK(held <= 97);
  CHECK(std::abs(below - above) < 60);
}

TEST_CASE("the biweight has the efficiency of 95 % that its constant is for") {
  // Variance of the mean of n normal values is 1/n; the biweight's at 4.685 scales is 1/0.95 of that (Holland & Welsch,
  // Communications in Statistics A6, 1977; recalled from memory).
  synth::Random random(9102);
  double mean_squares = 0, biweight_squares = 0;
  for (int sample = 0; sample < 4000; ++sample) {
    std::vector<double> values;
    for (int i = 0; i < 200; ++i) values.push_back(random.normal());
    const double mean = mean_and_sd(values).mean, centre = biweight_centre(values, 0);
    mean_squares += mean * mean, biweight_squares += centre * centre;
  }
  CHECK(mean_squares / biweight_squares == doctest::Approx(0.95).epsilon(0.02));
}

TEST_CASE("mean and standard deviation of NIST StRD NumAcc1 to NumAcc3 are the certified ones") {
  // Certified values are exact by construction: 10000002 and 1; 1.2 and 0.1; 1000000.2 and 0.1.
  const MeanAndSd first = mean_and_sd(std::vector<double>{10000001, 10000003, 10000002});
  CHECK(first.mean == doctest::Approx(10000002).epsilon(1e-15));
  CHECK(first.sd == doctest::Approx(1).epsilon(1e-14));
  for (const double base : {1.0, 1000000.0}) {
    CAPTURE(base);
    std::vector<double> values{base + 0.2};
    for (int i = 0; i < 500; ++i) values.push_back(base + 0.1), values.push_back(base + 0.3);
    const MeanAndSd found = mean_and_sd(values);
    CHECK(found.mean == doctest::Approx(base + 0.2).epsilon(1e-14));
    CHECK(std::abs(found.sd - 0.1) < (base > 1 ? 1e-9 : 1e-13));
  }
}
