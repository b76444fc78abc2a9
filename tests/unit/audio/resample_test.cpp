#include "../../../src/audio/resample.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "sounds.hpp"

namespace firmus::audio_test {
using namespace audio;
namespace {

constexpr int rates_hz[] = {8000,  11025, 12000, 16000, 22050, 24000,  32000, 37800,
                            44056, 44100, 48000, 88200, 96000, 176400, 192000};

std::vector<float> resample(const std::vector<float>& in, int from_hz) {
  Resampler resampler(from_hz);
  std::vector<float> out;
  resampler.add(in, out);
  resampler.finish(out);
  return out;
}

/// Largest difference from the ideal tone, away from the ends, where the filter meets silence.
double worst_error(const std::vector<float>& out, double frequency_hz, double amplitude) {
  double worst = 0;
  for (std::size_t i = 400; i + 400 < out.size(); ++i) {
    const double ideal = amplitude * std::sin(2 * std::numbers::pi * frequency_hz * static_cast<double>(i) / 16000);
    worst = std::max(worst, std::abs(static_cast<double>(out[i]) - ideal));
  }
  return worst;
}

double middle_rms(const std::vector<float>& out) {
  double energy = 0;
  for (std::size_t i = 400; i + 400 < out.size(); ++i)
    energy += static_cast<double>(out[i]) * static_cast<double>(out[i]);
  return std::sqrt(energy / static_cast<double>(out.size() - 800));
}

double gain_db(double frequency_hz, int from_hz) {
  return 20 * std::log10(middle_rms(resample(tone(frequency_hz, 0.5, from_hz, 1), from_hz)) * std::numbers::sqrt2);
}

}  // namespace

// One check for time, phase, frequency and gain at once: the sine at 16 kHz is known in closed form.
TEST_CASE("a_tone_keeps_its_instant_frequency_and_amplitude_at_every_rate") {
  for (const int rate_hz : rates_hz)
    for (const double frequency_hz : {41.2034, 440.0, 2637.0205}) {
      CAPTURE(rate_hz);
      CAPTURE(frequency_hz);
      const auto out = resample(tone(frequency_hz, 0.5, rate_hz, 0.5), rate_hz);
      CHECK(worst_error(out, frequency_hz, 0.5) < 1e-4);
    }
}

TEST_CASE("a_click_stays_where_it_was_within_a_tenth_of_a_sample") {
  for (const int rate_hz : rates_hz) {
    CAPTURE(rate_hz);
    const double at_s = 0.3000371, width_s = 0.0004;
    std::vector<float> in(static_cast<std::size_t>(rate_hz / 2));
    for (std::size_t i = 0; i < in.size(); ++i) {
      const double off = (static_cast<double>(i) / rate_hz - at_s) / width_s;
      in[i] = static_cast<float>(std::exp(-off * off / 2));
    }
    double moment = 0, mass = 0;
    const auto out = resample(in, rate_hz);
    for (std::size_t i = 0; i < out.size(); ++i) {
      moment += static_cast<double>(out[i]) * static_cast<double>(i) / 16000;
      mass += static_cast<double>(out[i]);
    }
    CHECK(moment / mass == doctest::Approx(at_s).epsilon(0).scale(1).epsilon(0.1 / 16000));
  }
}

TEST_CASE("the_gain_is_flat_to_7_kHz") {
  for (const int rate_hz : {44100, 48000, 96000}) {
    for (const double frequency_hz : {30.0, 1000.0, 3000.0, 5000.0, 6000.0, 6600.0}) {
      CAPTURE(frequency_hz);
      CHECK(std::abs(gain_db(frequency_hz, rate_hz)) < 0.01);
    }
    CHECK(std::abs(gain_db(7000, rate_hz)) < 0.15);
  }
}

TEST_CASE("what_lies_above_9400_Hz_comes_through_80_dB_down_at_most") {
  for (const int rate_hz : {44100, 48000, 96000, 192000})
    for (const double frequency_hz : {9400.0, 10000.0, 12345.0, 15900.0, 20000.0}) {
      CAPTURE(rate_hz);
      CAPTURE(frequency_hz);
      CHECK(gain_db(frequency_hz, rate_hz) < -79.5);
    }
}

TEST_CASE("a_lower_rate_brings_no_images_of_its_tones") {
  const auto out = resample(tone(3000, 0.5, 8000, 1), 8000);
  CHECK(worst_error(out, 3000, 1) < 2e-4);
}

TEST_CASE("the_sizes_of_the_blocks_do_not_change_a_bit") {
  const auto in = noise(0.2, 0.7, 44100);
  const auto whole = resample(in, 44100);
  Resampler resampler(44100);
  std::vector<float> out;
  for (std::size_t at = 0, size = 1; at < in.size(); at += size, size = size * 7 % 1009 + 1)
    resampler.add(std::span(in).subspan(at, std::min(size, in.size() - at)), out);
  resampler.finish(out);
  CHECK(out == whole);
}

TEST_CASE("a_take_gets_as_many_samples_as_its_length_asks_for") {
  for (const std::size_t frames : {1U, 2U, 3U, 100U, 44099U, 44100U, 44101U})
    for (const int rate_hz : rates_hz) {
      CAPTURE(frames);
      CAPTURE(rate_hz);
      const auto exact = (static_cast<std::int64_t>(frames) * 16000 + rate_hz - 1) / rate_hz;
      CHECK(static_cast<std::int64_t>(resample(std::vector<float>(frames, 0.1F), rate_hz).size()) == exact);
    }
}

TEST_CASE("a_constant_stays_that_constant") {
  const auto out = resample(std::vector<float>(20000, 0.25F), 44100);
  for (std::size_t i = 400; i + 400 < out.size(); ++i) REQUIRE(std::abs(out[i] - 0.25F) < 1e-6F);
}

}  // namespace firmus::audio_test
