// The level that remains after the end of a note: the decay tail of a room, not noise, hum or the release of a voice.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "measure/measure.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

synth::Sound notes_with_gaps(double gap_s = 0.4) {
  std::vector<synth::Note> notes;
  for (const double hz : {220.0, 246.9, 261.6, 293.7}) {
    synth::Note note;
    note.pitch_hz = hz, note.length_s = 0.6, note.gap_after_s = gap_s, note.release_s = 0.04;
    notes.push_back(note);
  }
  return synth::render(notes, 7);
}

/// Adds reflections that decay by 60 dB in `to_60_db_s`, their total level below the direct sound.
void add_room(synth::Sound& sound, double to_60_db_s, double under_db) {
  synth::Random random(3);
  const std::vector<float> dry = sound.values;
  const double taps_per_s = 400, scale = std::pow(10, -under_db / 20) / std::sqrt(taps_per_s * to_60_db_s / 13.8);
  for (double t = 0.01; t < to_60_db_s; t += 1 / taps_per_s) {
    const auto delay = static_cast<std::size_t>((t + random.uniform() / taps_per_s) * Samples::rate_hz);
    const auto gain = static_cast<float>(scale * (random.uniform() < 0.5 ? -1 : 1) * std::pow(10, -3 * t / to_60_db_s));
    for (std::size_t i = delay; i < dry.size(); ++i) sound.values[i] += gain * dry[i - delay];
  }
}

std::vector<DecodedNote> decoded(const synth::Sound& sound) {
  std::vector<DecodedNote> notes;
  for (const synth::NoteTruth& truth : sound.notes) {
    DecodedNote note;
    note.onset_s = truth.onset_s, note.end_s = truth.end_s;
    notes.push_back(note);
  }
  return notes;
}

double reverberation_of(const synth::Sound& sound) {
  return estimate_reverberation_level(sound.samples(), synth::coarse_track(sound, 5, 0, 3), decoded(sound));
}

}  // namespace

TEST_CASE("A dry voice does not linger, neither in silence nor in noise and hum") {
  synth::Sound sound = notes_with_gaps();
  CHECK(reverberation_of(sound) == 0);
  for (std::size_t i = 0; i < sound.values.size(); ++i)
    sound.values[i] += static_cast<float>(0.01 * std::sin(2 * std::numbers::pi * 50 * static_cast<double>(i) / 16000));
  CHECK(reverberation_of(sound) == 0);
  synth::add_noise(sound, 10, 5);
  CHECK(reverberation_of(sound) < 0.1);
}

TEST_CASE("The decay tail of a room is measured in the gaps, a longer one as louder") {
  synth::Sound hall = notes_with_gaps(), church = notes_with_gaps();
  add_room(hall, 0.8, 6);
  add_room(church, 1.8, 3);
  // Of reverberation that decays by 60 dB in T, the part that arrives more than 0.12 s late has 10^(-6 * 0.12 / T) of
  // the power: amplitudes of -6 - 9 dB = 0.18 and -3 - 4 dB = 0.45 for notes as long as T; less here.
  CHECK(reverberation_of(hall) > 0.05);
  CHECK(reverberation_of(hall) < 0.3);
  CHECK(reverberation_of(church) > 1.4 * reverberation_of(hall));
  CHECK(reverberation_of(church) < 0.6);
}

TEST_CASE("Without a gap that is long enough the reverberation level is 0") {
  synth::Sound sound = notes_with_gaps(0.06);
  add_room(sound, 1.8, 3);
  CHECK(reverberation_of(sound) == 0);
  CHECK(estimate_reverberation_level(sound.samples(), synth::coarse_track(sound, 5, 0, 3), {}) == 0);
}

TEST_CASE("The standard error grows with the reverberation level") {
  const synth::Sound sound = notes_with_gaps();
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 5, 0, 3));
  const auto& note = sound.notes[1];
  const auto se_with = [&](double reverberation_level) {
    return measure_note(sound.samples(), track, note.onset_s, note.end_s, reverberation_level).se_cents.value();
  };
  CHECK(se_with(0) < 0.6);
  CHECK(se_with(0.1) > se_with(0));
  // A room of 1.8 s has a reverberation level of a third of a note's amplitude; there 95 % of notes are within 3.3
  // cents (truth.sh).
  CHECK(1.96 * se_with(0.3) > 2);
  CHECK(1.96 * se_with(0.3) < 4);
}
