#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"
#include "measure/measure.hpp"
#include "synth.hpp"
#include "trial.hpp"

using namespace firmus;
using synth::Note;
using synth::Random;

namespace {

struct Measured {
  NotePitch pitch;
  synth::NoteTruth truth;
  double off_cents() const { return cents_between(Hertz(truth.pitch_hz), Hertz(pitch.hz.value())); }
};

Measured measured(const Note& note, std::uint64_t seed = 3) {
  const synth::Sound sound = synth::render({note}, seed);
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 10, 0, seed));
  return {measure_note(sound.samples(), track, sound.notes[0].onset_s, sound.notes[0].end_s), sound.notes[0]};
}

void with_vibrato(Note& note, Random& random) {
  note.vibrato_hz = 5.5, note.vibrato_cents = 80, note.vibrato_phase = random.uniform();
}
void with_scoop(Note& note, Random& random) {
  note.scoop_cents = -random.between(30, 150), note.scoop_s = random.between(0.05, 0.15);
}
void mixed(Note& note, Random& random) {
  if (random.uniform() < 0.5) with_vibrato(note, random);
  if (random.uniform() < 0.4) with_scoop(note, random);
  if (random.uniform() < 0.3) note.glide_cents = random.between(-300, 300), note.glide_s = random.between(0.03, 0.07);
}

}  // namespace

TEST_CASE("voice-like notes E2 to C6 of 0.2 to 2 s, clean: half within 0.3 cents, 95 % within 2") {
  const trial::Outcome outcome = trial::run({}, 400, 11);
  CHECK(outcome.with_pitch == 400);
  CHECK(outcome.unclear == 0);
  CHECK(outcome.median() < 0.3);
  CHECK(outcome.p95() < 2);
}

TEST_CASE("the same notes where the truth is marked exactly: half within 0.3 cents, 95 % within 1.5") {
  trial::Condition condition;
  condition.marks_off_s = 0;
  const trial::Outcome outcome = trial::run(condition, 600, 11);
  CHECK(outcome.median() < 0.3);
  CHECK(outcome.p95() < 1.5);
}

TEST_CASE(
    "with noise to 20 dB, vibrato, scoops and glides, E1 to E7: half within 2 cents, 95 % within 6; below E2 within "
    "4") {
  trial::Condition condition{28, 100, 0.3, 2, 20.0, mixed};
  const trial::Outcome all = trial::run(condition, 400, 12);
  CHECK(all.with_pitch == 400);
  CHECK(all.median() < 0.5);
  CHECK(all.p95() < 3.6);
  condition.highest_midi = 40;
  const trial::Outcome low = trial::run(condition, 200, 13);
  CHECK(low.median() < 0.5);
  CHECK(low.p95() < 4);
}

TEST_CASE(
    "the pitch of a vibrato note is its centre on the log scale, not the mean in hertz and not that of broken cycles") {
  // The mean in Hz lies E^2 ln 2 / 4800 cents higher: 1.44 at 100 cents, 5.77 at 200 (closed form); the mean over N
  // cycles errs by up to E |sin(pi N)| / (pi N): 12.7 cents at 2.5 cycles of 100 cents (closed form).
  for (const double extent : {50.0, 100.0, 200.0})
    for (const double phase : {0.0, 0.25, 0.5, 0.75}) {
      CAPTURE(extent);
      CAPTURE(phase);
      Note note;
      note.length_s = 2.5 / 5.5 + 0.06;
      note.vibrato_hz = 5.5, note.vibrato_cents = extent, note.vibrato_phase = phase;
      const Measured result = measured(note);
      CHECK(std::abs(result.off_cents()) < 0.005 * extent);
      REQUIRE(result.pitch.vibrato);
      CHECK(result.pitch.vibrato->rate_hz == doctest::Approx(5.5).epsilon(0.02));
      CHECK(result.pitch.vibrato->extent_cents == doctest::Approx(extent).epsilon(0.05));
      CHECK(result.pitch.spread_cents.value() == doctest::Approx(extent / std::sqrt(2)).epsilon(0.15));
    }
}

TEST_CASE("wander without vibrato is not called vibrato") {
  int found = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    Note note;
    note.wander = synth::Wander{};
    found += measured(note, seed).pitch.vibrato ? 1 : 0;
  }
  CHECK(found <= 1);
}

TEST_CASE("a scoop is told and left out; a note that begins within 20 cents has none") {
  Note note;
  note.pitch_hz = 330;
  note.scoop_cents = -90, note.scoop_s = 0.12;
  const Measured scooped = measured(note);
  CHECK(std::abs(scooped.off_cents()) < 0.6);
  REQUIRE(scooped.pitch.scoop_cents);
  CHECK(*scooped.pitch.scoop_cents < -70);
  CHECK(*scooped.pitch.scoop_cents > -95);
  note.scoop_cents = -15;
  CHECK_FALSE(measured(note).pitch.scoop_cents);
}

TEST_CASE("the glide into the next note is left out") {
  Note note;
  note.glide_cents = 200, note.glide_s = 0.08;
  CHECK(std::abs(measured(note).off_cents()) < 0.6);
}

TEST_CASE("slope, level and spread are those of the sound") {
  Note note;
  note.drift_cents_per_s = -30;
  note.amplitude = 0.1;
  const Measured result = measured(note);
  CHECK(result.pitch.slope_cents_per_s.value() == doctest::Approx(-30).epsilon(0.02));
  CHECK(result.pitch.level_dbfs.value() == doctest::Approx(-20).epsilon(0.02));  // 20 log10 0.1
  CHECK_FALSE(result.pitch.vibrato);
  CHECK_FALSE(result.pitch.unclear);
}

TEST_CASE("pitch, spread and interval follow a shift of 30 cents exactly") {
  Note note;
  note.wander = synth::Wander{};
  const Measured before = measured(note);
  note.pitch_hz *= std::exp2(30.0 / 1200);
  const Measured after = measured(note);
  CHECK(cents_between(Hertz(*before.pitch.hz), Hertz(*after.pitch.hz)) == doctest::Approx(30).epsilon(0.002));
}

TEST_CASE("a note of 40 ms is too short, one whose pitch roams is unstable, one at full scale is clipped") {
  Note brief;
  brief.length_s = 0.04;
  CHECK(measured(brief).pitch.unclear == UnclearReason::too_short);
  Note roaming;
  roaming.wander = synth::Wander{120, 0.3, 0, 0.012};
  CHECK(measured(roaming).pitch.unclear == UnclearReason::unstable);
  Note loud;
  loud.amplitude = 1.0;
  synth::Sound sound = synth::render({loud}, 3);
  for (float& value : sound.values) value = std::clamp(value, -1.0F, 1.0F);
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 10, 0, 3));
  const NotePitch pitch = measure_note(sound.samples(), track, sound.notes[0].onset_s, sound.notes[0].end_s);
  CHECK(pitch.unclear == UnclearReason::clipped);
}

TEST_CASE("a pitch that reverberation makes uncertain by more than 15 cents is noisy, a more certain one is judged") {
  const synth::Sound sound = synth::render({Note{}}, 3);
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 10, 0, 3));
  int certain = 0, uncertain = 0;
  for (const double reverberation_level : {0.0, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 20.0}) {
    const NotePitch pitch =
        measure_note(sound.samples(), track, sound.notes[0].onset_s, sound.notes[0].end_s, reverberation_level);
    REQUIRE(pitch.se_cents);
    if (*pitch.se_cents > 15) {
      CHECK(pitch.unclear == UnclearReason::noisy);
      ++uncertain;
    } else {
      CHECK_FALSE(pitch.unclear);
      ++certain;
    }
  }
  CHECK(certain >= 3);
  CHECK(uncertain >= 2);
}

TEST_CASE("a note without a voiced frame, outside the take or turned round has no pitch and says why") {
  const std::vector<float> nothing(200, 0.0F);
  const Samples silence(std::vector<float>(16000, 0.0F));
  for (const auto& [from, to] : {std::pair{0.1, 0.9}, {5.0, 6.0}, {0.9, 0.1}, {-3.0, -1.0}}) {
    const NotePitch pitch = measure_note(silence, nothing, from, to);
    CHECK_FALSE(pitch.hz);
    CHECK_FALSE(pitch.se_cents);
    CHECK(pitch.unclear);
  }
}

TEST_CASE("two notes at once are two voices") {
  Note first, second;
  first.pitch_hz = 220, second.pitch_hz = 261.6;
  synth::Sound sound = synth::render({first}, 3);
  const auto coarse = synth::coarse_track(sound, 10, 0, 3);
  synth::add_sound(sound, synth::render({second}, 4), 0.7);
  const auto track = refine_track(sound.samples(), coarse);
  const NotePitch pitch = measure_note(sound.samples(), track, sound.notes[0].onset_s, sound.notes[0].end_s);
  CHECK(pitch.unclear == UnclearReason::two_voices);
}

TEST_CASE("the reasons have their names") {
  CHECK(to_string(UnclearReason::too_short) == "too_short");
  CHECK(to_string(UnclearReason::two_voices) == "two_voices");
}
