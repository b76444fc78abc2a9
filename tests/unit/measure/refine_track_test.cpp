// Targets for tones of 2 s with formants, E1 to E7. Every frame counts; one without a pitch counts as 1200 cents off.
#include <doctest/doctest.h>

#include <cmath>
#include <functional>

#include "firmus/theory.hpp"
#include "measure/measure.hpp"
#include "synth.hpp"
#include "trial.hpp"

using namespace firmus;

namespace {

struct FrameErrors {
  std::vector<double> abs_cents;
  double median() const { return trial::quantile(abs_cents, 0.5); }
  double p95() const { return trial::quantile(abs_cents, 0.95); }
  double within_50() const {
    const auto good = std::count_if(abs_cents.begin(), abs_cents.end(), [](double cents) { return cents <= 50; });
    return 100.0 * static_cast<double>(good) / static_cast<double>(abs_cents.size());
  }
};

void add_errors(const synth::Sound& sound, FrameErrors& errors) {
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 15, 0, 5));
  REQUIRE(track.size() == sound.f0_hz.size());
  for (std::size_t i = 0; i < track.size(); ++i)
    if (sound.f0_hz[i] > 0)
      errors.abs_cents.push_back(track[i] > 0 ? std::abs(cents_between(Hertz(sound.f0_hz[i]), Hertz(track[i])))
                                              : 1200.0);
}

/// Tones a minor sixth apart from E1 to E7, three vowels each.
FrameErrors tones(std::optional<double> snr_db, const std::function<void(synth::Note&)>& shape) {
  FrameErrors errors;
  for (int midi = 28; midi <= 100; midi += 8)
    for (int vowel = 0; vowel < 5; vowel += 2) {
      synth::Note note;
      note.pitch_hz = hz_from_midi(midi);
      note.length_s = 2;
      note.vowel = vowel;
      shape(note);
      synth::Sound sound = synth::render({note}, static_cast<std::uint64_t>(midi * 10 + vowel));
      if (snr_db) synth::add_noise(sound, *snr_db, static_cast<std::uint64_t>(midi + vowel));
      add_errors(sound, errors);
    }
  return errors;
}

void steady(synth::Note&) {}
void vibrating(synth::Note& note) {
  note.vibrato_hz = 5.5, note.vibrato_cents = 80;
}
void gliding(synth::Note& note) {
  note.drift_cents_per_s = 100;
}

FrameErrors joined(std::optional<double> snr_db) {
  FrameErrors all;
  for (const auto& shape : {steady, vibrating, gliding}) {
    const auto part = tones(snr_db, shape).abs_cents;
    all.abs_cents.insert(all.abs_cents.end(), part.begin(), part.end());
  }
  return all;
}

}  // namespace

TEST_CASE(
    "frames of steady, vibrato and gliding tones E1 to E7 are right to 0.05 cents clean, 0.15 at 20 dB, 0.4 at 10 dB") {
  const FrameErrors clean = joined(std::nullopt), noisy = joined(20.0), noisier = joined(10.0);
  CHECK(clean.median() < 0.055);
  CHECK(noisy.median() < 0.15);
  CHECK(noisier.median() < 0.40);
  CHECK(clean.within_50() > 99.9);
  CHECK(noisy.within_50() > 99.9);
  CHECK(noisier.within_50() > 99.8);
}

TEST_CASE("vibrato of 80 cents is followed, not smoothed: 95 % of frames within 4 cents, most within 0.2") {
  const FrameErrors errors = tones(std::nullopt, vibrating);
  CHECK(errors.p95() < 1.5);
  CHECK(errors.median() < 0.2);
}

TEST_CASE("the range reaches from 30.9 Hz to 2800 Hz") {
  for (const double hz : {30.9, 41.2, 82.4, 1396.9, 2637.0, 2800.0}) {
    CAPTURE(hz);
    synth::Note note;
    note.pitch_hz = hz;
    note.timbre = synth::Timbre::plain;
    FrameErrors errors;
    add_errors(synth::render({note}, 3), errors);
    CHECK(errors.median() < 0.3);
  }
}

TEST_CASE("a coarse track 30 cents off at 2637 Hz is brought home") {
  synth::Note note;
  note.pitch_hz = 2637.0205;
  const synth::Sound sound = synth::render({note}, 3);
  std::vector<float> coarse;
  for (const double hz : sound.f0_hz) coarse.push_back(static_cast<float>(hz * std::exp2(30.0 / 1200)));
  const auto track = refine_track(sound.samples(), coarse);
  CHECK(std::abs(cents_between(Hertz(2637.0205), Hertz(track[track.size() / 2]))) < 0.1);
}

TEST_CASE(
    "unvoiced frames stay 0, voiced ones stay voiced and within 70 cents of their candidate, whatever the sound") {
  synth::Note note;
  synth::Sound sound = synth::render({note}, 3);
  synth::add_noise(sound, -10, 1);
  const auto coarse = synth::coarse_track(sound, 40, 0.1, 9);
  const auto track = refine_track(sound.samples(), coarse);
  for (std::size_t i = 0; i < track.size(); ++i) {
    CHECK((track[i] > 0) == (coarse[i] > 0));
    if (coarse[i] > 0) CHECK(std::abs(cents_between(Hertz(coarse[i]), Hertz(track[i]))) < 70.01);
  }
  CHECK(refine_track(Samples{}, {}).empty());
}

TEST_CASE("an octave slip in the coarse track does not spoil the frames around it") {
  synth::Note note;
  note.pitch_hz = 220;
  const synth::Sound sound = synth::render({note}, 3);
  auto coarse = synth::coarse_track(sound, 5, 0, 1);
  for (std::size_t i = 100; i < 110; ++i) coarse[i] *= 2;
  const auto track = refine_track(sound.samples(), coarse);
  for (std::size_t i = 60; i < 160; ++i)
    if (i < 100 || i >= 110) CHECK(std::abs(cents_between(Hertz(sound.f0_hz[i]), Hertz(track[i]))) < 0.5);
}
