// The generator of test notes: its ground truth is true of its samples.
#include "synth.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"

using namespace firmus;

TEST_CASE("a plain note has as many periods as its frequency says") {
  synth::Note note;
  note.pitch_hz = 250, note.timbre = synth::Timbre::plain;
  const synth::Sound sound = synth::render({note}, 1, 0.1);
  REQUIRE(sound.values.size() == 16000 + 3200);
  REQUIRE(sound.f0_hz.size() == 240);
  // 250 Hz at 16 kHz repeats every 64 samples exactly.
  for (std::size_t i = 3200; i < 12000; ++i) CHECK(std::abs(sound.values[i] - sound.values[i + 64]) < 1e-5F);
}

TEST_CASE("the same seed gives the same samples, another seed others") {
  synth::Note note;
  note.wander = synth::Wander{};
  CHECK(synth::render({note}, 7).values == synth::render({note}, 7).values);
  CHECK(synth::render({note}, 7).values != synth::render({note}, 8).values);
}

TEST_CASE("wander has the spread asked for") {
  double sum = 0, count = 0;
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    synth::Note note;
    note.length_s = 2;
    note.wander = synth::Wander{10, 0.1, 0, 0.012};
    for (const double hz : synth::render({note}, seed).f0_hz)
      if (hz > 0) sum += std::pow(cents_between(Hertz(220), Hertz(hz)), 2), count += 1;
  }
  CHECK(std::sqrt(sum / count) == doctest::Approx(10).epsilon(0.1));
}

TEST_CASE(
    "the true pitch is the median of log f0 over the middle of the steady part, without vibrato, scoop and glide") {
  synth::Note note;
  note.pitch_hz = 300, note.length_s = 1, note.release_s = 0.1;
  note.vibrato_hz = 5.5, note.vibrato_cents = 80, note.scoop_cents = -100, note.scoop_s = 0.1;
  const synth::NoteTruth still = synth::render({note}, 1, 0.2).notes[0];
  CHECK(still.pitch_hz == doctest::Approx(300));
  CHECK(still.onset_s == doctest::Approx(0.2));
  CHECK(still.steady_from_s == doctest::Approx(0.3));
  CHECK(still.steady_to_s == doctest::Approx(1.1));
  note.drift_cents_per_s = 40;  // 0 at 0.5 s, so -12 at 0.2 and +12 at 0.8: median 0
  CHECK(cents_between(Hertz(300), Hertz(synth::render({note}, 1).notes[0].pitch_hz)) ==
        doctest::Approx(0).epsilon(0.01));
  note.scoop_s = 0.3;  // from 0.3 to 0.8: middle 0.05 s late, 2 cents
  CHECK(cents_between(Hertz(300), Hertz(synth::render({note}, 1).notes[0].pitch_hz)) ==
        doctest::Approx(2).epsilon(0.02));
}

TEST_CASE("noise stands as far under the sound as asked") {
  synth::Note note;
  note.attack_s = note.release_s = 0;
  synth::Sound sound = synth::render({note}, 1, 0.5);
  synth::add_noise(sound, 20, 4);
  double noise = 0;
  for (std::size_t i = 0; i < 8000; ++i) noise += sound.values[i] * sound.values[i] / 8000;
  CHECK(10 * std::log10(0.04 / noise) == doctest::Approx(20).epsilon(0.02));  // amplitude 0.2 RMS
}
