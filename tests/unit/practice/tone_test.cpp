// Reference tones: the right pitch to 0.1 cent, in time, even, without clicks.
#include "firmus/tone.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

using namespace firmus;
using doctest::Approx;

namespace {

std::vector<float> tones(const Melody& melody, const ToneOptions& options = {}) {
  std::vector<float> all;
  make_tones(melody, options, [&](std::span<const float> block) { all.insert(all.end(), block.begin(), block.end()); });
  return all;
}

Melody melody(const std::string& text) {
  return read_melody(text, "test.melody");
}

/// The component at this frequency in `length` samples from `begin`, with a Hann window.
std::complex<double> part_of(const std::vector<float>& samples, std::int64_t begin, std::int64_t length, double hz) {
  std::complex<double> sum = 0;
  for (std::int64_t n = 0; n < length; ++n) {
    const double window = 1 - std::cos(2 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(length));
    const double phase = 2 * std::numbers::pi * hz * static_cast<double>(n) / tone_rate_hz;
    sum += window * static_cast<double>(samples[static_cast<std::size_t>(begin + n)]) * std::polar(1.0, -phase);
  }
  return sum;
}

/// Deviation of a sine near `hz` from it in cents, from the phase difference between two windows.
double cents_off(const std::vector<float>& samples, const ToneSpan& span, double hz) {
  const std::int64_t length = 8192, apart = 4096, begin = (span.begin + span.end - length - apart) / 2;
  const double turn = 2 * std::numbers::pi * hz * static_cast<double>(apart) / tone_rate_hz;
  const std::complex<double> ratio = part_of(samples, begin + apart, length, hz) / part_of(samples, begin, length, hz);
  const double extra = std::arg(ratio * std::polar(1.0, -turn));
  return cents_between(Hertz(hz),
                       Hertz(hz + extra * tone_rate_hz / (2 * std::numbers::pi * static_cast<double>(apart))));
}

double seconds(std::int64_t samples) {
  return static_cast<double>(samples) / tone_rate_hz;
}

double rms(const std::vector<float>& samples, std::int64_t begin, std::int64_t end) {
  double sum = 0;
  for (std::int64_t n = begin; n < end; ++n) sum += std::pow(samples[static_cast<std::size_t>(n)], 2);
  return std::sqrt(sum / static_cast<double>(end - begin));
}
/// Over the middle of a note.
double level(const std::vector<float>& samples, const ToneSpan& span) {
  return rms(samples, span.begin + 6000, span.end - 6000);
}

}  // namespace

TEST_CASE("each note and its harmonics sound where the tuning and the concert pitch ask for, to 0.1 cent") {
  for (const std::string tuning : {"equal", "just", "pythagorean", "meantone"}) {
    CAPTURE(tuning);
    const Melody asked = melody("key: D major\na4: 442\ntuning: " + tuning + "\ntempo: 60\nE2 D4 F#4 A4 E6 C7\n");
    const auto samples = tones(asked);
    for (const ToneSpan& span : tone_spans(asked, {})) {
      CAPTURE(span.index);
      CHECK(span.hz == Approx(asked.notes[static_cast<std::size_t>(span.index)].target_hz));
      for (int k = 1; k <= 4; ++k) CHECK(std::fabs(cents_off(samples, span, k * span.hz)) < 0.1);
    }
  }
  // 440 * 2^(-9/12) = 261.6256 (equal temperament).
  CHECK(tone_spans(melody("C4"), {}).front().hz == Approx(261.6256).epsilon(1e-6));
}

TEST_CASE("notes begin and end in time, by the melody's tempo or the one asked for") {
  const Melody asked = melody("meter: 3/4\ntempo: 120\nD4 F#4:2 | rest A4:0 B4 E4 |\ntempo: 60\nD4:3\n");
  const auto spans = tone_spans(asked, {});
  REQUIRE(spans.size() == 5);  // the grace note does not sound
  CHECK(seconds(spans[0].begin) == Approx(0.2));
  CHECK(seconds(spans[1].begin) == Approx(0.7));
  CHECK(seconds(spans[1].end) == Approx(1.7));
  CHECK(seconds(spans[2].begin) == Approx(2.2));
  CHECK(seconds(spans[4].begin) == Approx(3.2));
  CHECK(seconds(spans[4].end) == Approx(6.2));
  ToneOptions slow;
  slow.beats_per_minute = 30;
  CHECK(seconds(tone_spans(asked, slow)[1].begin) == Approx(2.2));
  CHECK(static_cast<std::int64_t>(tones(asked).size()) == tone_length(spans));
}

TEST_CASE("all notes are equally loud, and nothing is beyond full scale") {
  const Melody asked = melody("tempo: 60\nE1 A2 D4 A4 E6 C8\n");
  const auto samples = tones(asked);
  for (const ToneSpan& span : tone_spans(asked, {}))
    CHECK(20 * std::log10(level(samples, span) / 0.12) == Approx(0).epsilon(0.2));
  for (const float sample : samples) REQUIRE(std::fabs(sample) < 0.6);
}

TEST_CASE("nothing clicks: between notes there is silence, and high up only what belongs there") {
  const Melody asked = melody("tempo: 60\nA3 A3:1/4 E4:1/8 E4:1/8\n");
  const auto samples = tones(asked);
  for (const ToneSpan& span : tone_spans(asked, {})) {
    CHECK(std::fabs(samples[static_cast<std::size_t>(span.begin)]) < 1e-6);
    CHECK(std::fabs(samples[static_cast<std::size_t>(span.end - 1)]) < 1e-3);
    // A click has all frequencies: at 12 kHz, far above the eighth harmonic, 90 dB below a full scale there is nothing.
    for (const std::int64_t edge : {span.begin, span.end})
      CHECK(std::abs(part_of(samples, edge - 1024, 2048, 12000)) / 1024 < 3e-5);
  }
}

TEST_CASE("a drone sounds below all notes, softly, and a transposition moves both") {
  const Melody asked = melody("tempo: 60\nA4 rest:2 E4\n");
  ToneOptions options;
  options.drone = SpelledPitch{'D', 0, 3};
  options.transpose_semitones = 12;
  const auto samples = tones(asked, options);
  const auto spans = tone_spans(asked, options);
  CHECK(spans[0].hz == Approx(880));
  const ToneSpan rest{0, spans[0].end, spans[1].begin, Hertz(0)};
  CHECK(rms(samples, rest.begin + 100, rest.end - 100) == Approx(0.05).epsilon(0.02));
  CHECK(std::fabs(cents_off(samples, rest, 293.66477)) < 0.1);  // D4, an octave above the drone written
}

TEST_CASE("a count-in clicks on the beats before the melody, at its tempo, and the notes come as much later") {
  struct Case {
    const char* text;
    double beat_s, first_note_s;  // after 3 clicks, the first at 0.2 s
  };
  for (const Case& one : {Case{"meter: 3/4\ntempo: 120\nD4 F#4 A4 |\n", 0.5, 1.7},
                          Case{"tempo: 120\nD4 F#4 A4\n", 0.5, 1.7},                    // no meter: quarters
                          Case{"meter: 6/8\ntempo: 120\nD4:3 F#4:3 |\n", 0.5, 1.7},     // the lower figure
                          Case{"meter: 3/4\ntempo: 60\nC4 | D4 F#4 A4 |\n", 1, 3.2},    // upbeat on a beat
                          Case{"meter: 4/4\ntempo: 60\nC4:1/2 | D4:4 |\n", 1, 2.7},     // and between two
                          Case{"meter: 4/4\ntempo: 60\nrest C4:3 | D4:4 |\n", 1, 4.2},  // the rest is kept
                          Case{"meter: 4/4\nrest:4 | D4:4 |\n", 60.0 / 90, 0.2 + 7 * 60.0 / 90}}) {
    CAPTURE(one.text);
    const Melody asked = melody(one.text);
    ToneOptions options;
    options.count_in_beats = 3;
    const auto clicks = count_in_clicks(asked, options);
    REQUIRE(clicks.size() == 3);
    for (std::size_t i = 0; i < 3; ++i)
      CHECK(seconds(clicks[i]) == Approx(0.2 + static_cast<double>(i) * one.beat_s).epsilon(1e-4));
    const auto spans = tone_spans(asked, options), plain = tone_spans(asked, {});
    CHECK(seconds(spans[0].begin) == Approx(one.first_note_s).epsilon(1e-4));
    for (std::size_t i = 0; i < spans.size(); ++i)
      CHECK(std::abs(spans[i].begin - plain[i].begin - (spans[0].begin - plain[0].begin)) <= 1);  // rounding
    // Sound where the clicks are, and nothing between them.
    const auto samples = tones(asked, options);
    for (const std::int64_t click : clicks) {
      CHECK(rms(samples, click, click + 720) > 0.05);
      CHECK(rms(samples, click - 1000, click) == 0);
      CHECK(rms(samples, click + 720, click + 5000) == 0);
    }
  }
  ToneOptions slow;
  slow.count_in_beats = 2;
  slow.beats_per_minute = 30;
  CHECK(seconds(count_in_clicks(melody("meter: 3/4\ntempo: 120\nD4:3 |"), slow)[1]) == Approx(2.2));
}

TEST_CASE("a contrast sounds each note in tune, off by just that, and in tune, each as long as written") {
  const Melody asked = melody("tuning: just\nkey: D major\ntempo: 60\nD4 F#4:2 rest C#5\n");
  for (const double cents : {-20.0, 7.5, 100.0}) {
    CAPTURE(cents);
    ToneOptions options;
    options.contrast_cents = Cents(cents);
    const auto spans = tone_spans(asked, options);
    const auto samples = tones(asked, options);
    REQUIRE(spans.size() == 9);
    for (std::size_t i = 0; i < 9; ++i) {
      CAPTURE(i);
      const WrittenNote& note = asked.notes[i / 3];
      const double off = i % 3 == 1 ? cents : 0;
      CHECK(spans[i].index == note.index);
      CHECK(cents_between(note.target_hz, Hertz(spans[i].hz)) == Approx(off));
      CHECK(std::fabs(cents_off(samples, spans[i], note.target_hz * std::exp2(off / 1200))) < 0.1);
      CHECK(seconds(spans[i].end - spans[i].begin) == Approx(note.beats.value()).epsilon(1e-4));
      if (i % 3 > 0) CHECK(spans[i].begin == spans[i - 1].end);
    }
    CHECK(seconds(spans[6].begin - spans[5].end) == Approx(1).epsilon(1e-4));  // the rest, once
  }
}

TEST_CASE("a gain makes all louder by just that, and the most that there is clips nothing") {
  const Melody asked = melody("tempo: 60\nE1 A2 D4 A4 E6 C8\n");
  ToneOptions options;
  options.count_in_beats = 2;
  options.drone = SpelledPitch{'A', 0, 2};
  const auto before = tones(asked, options);
  for (const double gain_db : {highest_gain_db, -12.0}) {
    options.gain_db = gain_db;
    const auto after = tones(asked, options);
    REQUIRE(after.size() == before.size());
    float peak = 0;
    for (std::size_t i = 0; i < after.size(); ++i) {
      peak = std::max(peak, std::fabs(after[i]));
      REQUIRE(std::fabs(after[i] - before[i] * std::pow(10.0, gain_db / 20)) < 1e-6);
    }
    CHECK(peak > 0.06);
    CHECK(peak < 0.9);
  }
}
