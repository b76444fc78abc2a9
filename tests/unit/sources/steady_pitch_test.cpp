#include "steady_pitch.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"
#include "struck_strings.hpp"

using namespace firmus;
using namespace firmus::sources;

TEST_CASE("the pitch of a string is exact and stands still, whatever pitch it is looked for at") {
  for (const double hz : {82.4, 220.0, 659.3})
    for (const double off_cents : {-30.0, 0.0, 30.0}) {
      CAPTURE(hz);
      CAPTURE(off_cents);
      synth::Sound sound;
      sound.values.assign(16000, 0.0F);
      sources_test::add(sound, {0, 1, hz, 20});
      const SteadyPitch pitch = steady_pitch(sound.samples(), 10, 180, hz * std::exp2(off_cents / 1200));
      CHECK(std::abs(cents_between(Hertz(hz), Hertz(pitch.hz))) < 0.5);
      CHECK(pitch.spread_cents < 0.5);
      CHECK(std::abs(pitch.tilt_cents_per_s) < 1);
    }
}

TEST_CASE("vibrato is spread, and a glide is tilt") {
  synth::Note note;
  note.length_s = 1;
  note.vibrato_hz = 5.5, note.vibrato_cents = 20;
  const synth::Sound vibrato = synth::render({note}, 3);
  // A sine of 20 cents has a standard deviation of 14.1; the window of 50 ms takes off an eighth.
  CHECK(steady_pitch(vibrato.samples(), 40, 200, 220).spread_cents == doctest::Approx(13).epsilon(0.1));
  note.vibrato_cents = 0, note.drift_cents_per_s = 40;
  const synth::Sound glide = synth::render({note}, 3);
  CHECK(steady_pitch(glide.samples(), 40, 200, 220).tilt_cents_per_s == doctest::Approx(40).epsilon(0.05));
}

TEST_CASE("a stretch too short for four windows has no steady pitch") {
  synth::Sound sound;
  sound.values.assign(16000, 0.1F);
  CHECK(steady_pitch(sound.samples(), 10, 20, 220).spread_cents > 1000);
}
