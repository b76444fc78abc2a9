// The fitted sine against sines made to its model.
#include "../../../src/measure/vibrato.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "synth.hpp"

using namespace firmus;
using namespace firmus::measure;

namespace {

/// 0.8 s of f0 about 30 + 25 (t - 0.3975) cents, with vibrato of `extent` cents at `rate_hz` and white noise.
NoteSeries sung(double rate_hz, double extent, double noise_cents, std::uint64_t seed) {
  NoteSeries series;
  synth::Random random(seed);
  for (int i = 0; i < 160; ++i) {
    const double t = i * frame_s;
    series.time_s.push_back(t);
    series.cents.push_back(30 + 25 * (t - 0.3975) + extent * std::cos(2 * std::numbers::pi * rate_hz * t + 0.7) +
                           noise_cents * random.normal());
    series.level_db.push_back(-20);
  }
  return series;
}

}  // namespace

TEST_CASE("A sine on a sloping line is recovered exactly") {
  const NoteSeries series = sung(5.5, 20, 0, 1);  // 5.5 Hz is one of the rates that are tried
  const auto fit = fit_vibrato(series, {0, 160});
  REQUIRE(fit);
  CHECK(fit->rate_hz == doctest::Approx(5.5));
  CHECK(fit->extent_cents == doctest::Approx(20));
  CHECK(fit->residual_cents < 1e-4);
  for (std::size_t i = 0; i < series.size(); i += 13)
    CHECK(std::abs(fit->at(series.time_s[i]) - 20 * std::cos(2 * std::numbers::pi * 5.5 * series.time_s[i] + 0.7)) <
          1e-4);
  CHECK(vibrato_mean_se(*fit, series, {0, 160}) < 1e-4);
}

TEST_CASE("White noise about the sine is the fit's residual") {
  const auto fit = fit_vibrato(sung(6, 30, 4, 9004), {0, 160});
  REQUIRE(fit);
  // 6 terms of 160 values: sqrt(154/160) x 4 = 3.92; its own error is 4 / sqrt(2 x 154) = 0.23.
  CHECK(fit->residual_cents == doctest::Approx(3.92).epsilon(0.18));
}

TEST_CASE("Outside 4.5 to 8 Hz, below 5 cents, or under 1.2 cycles there is no vibrato") {
  CHECK_FALSE(fit_vibrato(sung(3, 40, 0, 1), {0, 160}));
  CHECK_FALSE(fit_vibrato(sung(10, 40, 0, 1), {0, 160}));
  CHECK_FALSE(fit_vibrato(sung(5.5, 4, 0, 1), {0, 160}));
  CHECK_FALSE(fit_vibrato(sung(5.5, 40, 0, 1), {0, 40}));  // 0.195 s: 1.07 cycles
  CHECK(fit_vibrato(sung(5.5, 40, 0, 1), {0, 48}));        // 0.235 s: 1.29 cycles
}

TEST_CASE("Noise without vibrato explains too little for a fit") {
  CHECK_FALSE(fit_vibrato(sung(5.5, 0, 10, 9005), {0, 160}));
}
