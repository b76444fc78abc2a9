#include "trill.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace firmus;

namespace {

/// A note of 1 s whose pitch is `cents_at` of its time.
template <typename CentsAt>
bool is_trill_with(CentsAt cents_at, double length_s = 1) {
  measure::NoteSeries series;
  for (double time_s = 3; time_s < 3 + length_s; time_s += measure::frame_s) {
    series.time_s.push_back(time_s);
    series.cents.push_back(cents_at(time_s));
  }
  return measure::is_trill(series);
}

double sine(double time_s, double rate_hz) {
  return std::sin(2 * std::numbers::pi * rate_hz * time_s);
}

/// -1 and 1 in turn, a tenth of the time on the way.
double alternating(double time_s, double rate_hz) {
  return std::clamp(6 * sine(time_s, rate_hz), -1.0, 1.0);
}

}  // namespace

TEST_CASE("two pitches in turn, a semitone or more apart, are a trill") {
  for (const double rate_hz : {5.0, 7.0, 9.0})
    for (const double apart_cents : {100.0, 200.0, 300.0}) {
      CAPTURE(rate_hz);
      CAPTURE(apart_cents);
      CHECK(is_trill_with([&](double t) { return apart_cents / 2 * alternating(t, rate_hz); }));
    }
}

TEST_CASE("vibrato is no trill, however wide; nor is a step, a slow alternation or a small one") {
  for (const double rate_hz : {4.5, 5.5, 7.0})
    for (const double extent_cents : {40.0, 80.0, 120.0})
      CHECK_FALSE(is_trill_with([&](double t) { return extent_cents * sine(t, rate_hz); }));
  CHECK_FALSE(is_trill_with([](double t) { return t < 3.5 ? 0.0 : 200.0; }));
  CHECK_FALSE(is_trill_with([](double t) { return 100 * alternating(t, 2); }));
  CHECK_FALSE(is_trill_with([](double t) { return 25 * alternating(t, 7); }));
  CHECK_FALSE(is_trill_with([](double t) { return 100 * alternating(t, 7); }, 0.1));
}
