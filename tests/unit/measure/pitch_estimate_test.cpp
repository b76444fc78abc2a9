// What the pitch of a note leaves out: vibrato that sets in late, and the consonant after the vowel.
#include "../../../src/measure/pitch_estimate.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "../../../src/measure/central_window.hpp"
#include "../../../src/measure/noise_variance.hpp"
#include "../../../src/measure/vibrato_tracker.hpp"
#include "synth.hpp"

using namespace firmus;
using namespace firmus::measure;

namespace {

/// 0.8 s at one level, pitch 0.
NoteSeries level_note() {
  NoteSeries series;
  series.middle_hz = 220;
  series.frames_within = 160;
  for (int i = 0; i < 160; ++i) {
    series.time_s.push_back(i * frame_s);
    series.cents.push_back(0);
    series.level_db.push_back(-20);
  }
  return series;
}

/// A vibrato of 12 cents at 5.7 Hz that begins in the note's middle and grows.
double late_vibrato(double time_s) {
  const double depth = std::clamp((time_s - 0.3) / 0.2, 0.0, 1.0);
  return 12 * depth * std::sin(2 * std::numbers::pi * 5.7 * time_s);
}

void add_wander(NoteSeries& series, double cents, std::uint64_t seed) {
  synth::Random random(seed);
  double walk = 0;
  for (double& value : series.cents) value += walk += cents * std::sqrt(frame_s) * random.normal();
}

double slow_oscillation(double time_s) {
  return 8 * std::sin(2 * std::numbers::pi * 1.4 * time_s);
}

}  // namespace

TEST_CASE("Vibrato that sets in late is followed, however it grows") {
  NoteSeries series = level_note();
  for (std::size_t i = 0; i < series.size(); ++i) series.cents[i] = late_vibrato(series.time_s[i]);
  add_wander(series, 8, 3);
  const VibratoTrack track = track_vibrato(series, series.cents, {0, 160}, {32, 128});
  REQUIRE(track.cents.size() == series.size());
  CHECK(track.certain);
  double worst = 0;
  for (std::size_t i = 32; i < 128; ++i)
    worst = std::max(worst, std::abs(track.cents[i] - late_vibrato(series.time_s[i])));
  CHECK(worst < 5);
}

TEST_CASE("Drift, and an oscillation slower than vibrato, are left in the note") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    NoteSeries series = level_note();
    for (std::size_t i = 0; i < series.size(); ++i) series.cents[i] = slow_oscillation(series.time_s[i]);
    add_wander(series, 15, seed);
    CHECK_FALSE(track_vibrato(series, series.cents, {0, 160}, {32, 128}).certain);
  }
}

TEST_CASE("The pitch does not move with the phase of a vibrato that sets in late") {
  for (const double sign : {1.0, -1.0}) {
    NoteSeries series = level_note();
    for (std::size_t i = 0; i < series.size(); ++i) series.cents[i] = sign * late_vibrato(series.time_s[i] + 0.05);
    const auto estimate = estimate_note_pitch(series, 0, 0.8);
    REQUIRE(estimate);
    CHECK(std::abs(estimate->cents) < 0.5);
    CHECK(std::abs(estimate->cents) < 1.96 * estimate->se_cents);
  }
}

TEST_CASE("A note has a pitch from 8 frames in its middle three fifths on") {
  NoteSeries series = level_note();
  CHECK(estimate_note_pitch(series, 0, 0.8));
  series.time_s.resize(13), series.cents.resize(13), series.level_db.resize(13);
  CHECK_FALSE(estimate_note_pitch(series, 0, 0.06));  // 0.012 to 0.048 s: frames 3 to 9, that is 7
  CHECK(estimate_note_pitch(series, 0, 0.07));        // 0.014 to 0.056 s: frames 3 to 11, that is 9
}

TEST_CASE("The vowel ends where the level falls for good") {
  NoteSeries series = level_note();
  for (std::size_t i = 140; i < 160; ++i) series.level_db[i] = -31;  // a hum, 11 dB under the vowel
  series.level_db[70] = -35;                                         // a dip inside does not end the vowel
  CHECK(vowel_end(series, 0.8) == doctest::Approx(0.7).epsilon(0.01));
  CHECK(vowel_end(level_note(), 0.8) == doctest::Approx(0.8));
}

TEST_CASE("The standard error is larger where the pitch moves at the ends") {
  NoteSeries level = level_note(), sinking = level_note();
  for (std::size_t i = 0; i < sinking.size(); ++i) sinking.cents[i] = -25 * (sinking.time_s[i] - 0.4);
  const TrimmedMedian still = trimmed_median(level, level.cents, 0, 0.8);
  const TrimmedMedian moving = trimmed_median(sinking, sinking.cents, 0, 0.8);
  CHECK(still.se_cents == doctest::Approx(0.1));
  // 25 cents/s: an onset 15 ms off moves the median by 0.5 x 0.8 x 25 x 0.015 = 0.15 cents and more, an end the like
  CHECK(moving.se_cents > 0.2);
  CHECK(moving.se_cents < 0.6);
}

TEST_CASE("Noise of single frames shows at any lag, a straight slope at none") {
  std::vector<double> slope, noise;
  synth::Random random(5);
  for (int i = 0; i < 4000; ++i) slope.push_back(0.1 * i), noise.push_back(2 * random.normal());
  CHECK(noise_variance_of_mean(slope, {0, 4000}, 4) < 1e-12);
  // 2 cents, eight frames that count as one: 2^2 x 8 / 4000 = 0.008
  CHECK(noise_variance_of_mean(noise, {0, 4000}, 1) == doctest::Approx(0.008).epsilon(0.1));
  CHECK(noise_variance_of_mean(noise, {0, 4000}, 4) == doctest::Approx(0.008).epsilon(0.1));
}
