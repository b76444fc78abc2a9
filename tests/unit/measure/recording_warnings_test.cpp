#include <doctest/doctest.h>

#include <cmath>

#include "measure/measure.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

std::vector<synth::Note> tune(double lowest_hz, std::uint64_t seed, bool vibrato) {
  synth::Random random(seed);
  std::vector<synth::Note> notes;
  for (int i = 0; i < 20; ++i) {
    synth::Note note;
    note.pitch_hz = lowest_hz * std::exp2(std::floor(random.between(0, 12)) / 12);
    note.length_s = random.between(0.3, 1);
    note.wander = synth::Wander{};
    note.vowel = i % 5;
    if (vibrato) note.vibrato_hz = 5.5, note.vibrato_cents = 80;
    notes.push_back(note);
  }
  return notes;
}

std::optional<RecordingWarning> warning_of(synth::Sound& sound) {
  return detect_second_pitch(sound.samples(), refine_track(sound.samples(), synth::coarse_track(sound, 10, 0.01, 3)));
}

std::vector<JudgedNote> notes_off(int count, double cents, double spread) {
  synth::Random random(5);
  std::vector<JudgedNote> notes;
  for (int i = 0; i < count; ++i)
    notes.push_back({i, 0.5 * i, 220 * std::exp2((cents + spread * random.normal()) / 1200), 220});
  return notes;
}

std::optional<RecordingWarning> mismatch_of(int count, double cents, double spread) {
  return detect_sample_rate_mismatch(fit_tuning_curve(notes_off(count, cents, spread)));
}

}  // namespace

TEST_CASE("one voice, clean, noisy or with vibrato, is no second voice") {
  for (const double lowest_hz : {110.0, 440.0})
    for (const bool vibrato : {false, true})
      for (const double snr_db : {60.0, 20.0, 5.0}) {
        CAPTURE(lowest_hz);
        CAPTURE(vibrato);
        CAPTURE(snr_db);
        synth::Sound sound = synth::render(tune(lowest_hz, 5, vibrato), 3);
        synth::add_noise(sound, snr_db, 2);
        CHECK_FALSE(warning_of(sound));
      }
}

TEST_CASE("another voice up to 12 dB weaker is heard") {
  for (const double gain : {1.0, 0.5, 0.25}) {
    CAPTURE(gain);
    synth::Sound sound = synth::render(tune(220, 5, false), 3);
    synth::add_sound(sound, synth::render(tune(110, 77, false), 8), gain);
    const auto warning = warning_of(sound);
    REQUIRE(warning);
    CHECK(warning->kind == RecordingFault::second_voice);
    CHECK(warning->detail.find('%') != std::string::npos);
  }
}

TEST_CASE("silence has no second voice") {
  const std::vector<float> nothing(100, 0.0F);
  CHECK_FALSE(detect_second_pitch(Samples(std::vector<float>(8000, 0.0F)), nothing));
}

TEST_CASE("notes all off by the ratio of two sample rates point at the file") {
  // 1200 log2(44.1/48) = -146.71, 1200 log2(44.1/32) = 555.29 (closed form).
  for (const double cents : {-146.706, 146.706, -555.290, 555.290, -146.706 - 1200}) {
    CAPTURE(cents);
    const auto warning = mismatch_of(20, cents, 4);
    REQUIRE(warning);
    CHECK(warning->kind == RecordingFault::sample_rate);
    CHECK(warning->advice.find("could be") != std::string::npos);
  }
}

TEST_CASE("takes in tune, in another key, at another concert pitch, or with a singer's spread do not") {
  for (const double cents : {0.0, -100.0, 100.0, -101.3, -200.0, 500.0, -700.0, 160.0, -130.0})
    CHECK_FALSE(mismatch_of(20, cents, 4));
  CHECK_FALSE(mismatch_of(40, -146.7, 30));
  CHECK_FALSE(mismatch_of(8, -146.7, 4));
}
