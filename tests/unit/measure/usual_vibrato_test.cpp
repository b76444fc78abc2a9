// The singer's own vibrato, learned from the long notes of a take, against notes of exact pitch (seeds 7041 to 7043).
#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"
#include "measure/measure.hpp"
#include "synth.hpp"
#include "trial.hpp"

using namespace firmus;

namespace {

struct Singer {
  double rate_hz = 3.4, rate_spread_hz = 0.1, extent_cents = 50;
};

/// Twelve long notes, then forty of one or two cycles.
synth::Sound take_of(const Singer& singer, std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<synth::Note> notes;
  for (int i = 0; i < 52; ++i) {
    synth::Note note;
    note.pitch_hz = hz_from_midi(random.between(55, 72));
    note.length_s = i < 12 ? random.between(1.0, 1.6) : random.between(0.4, 0.6);
    note.gap_after_s = 0.05;
    note.wander = synth::Wander{3, 0.12, 1, 0.012};
    note.vibrato_hz = singer.rate_hz + random.between(-1, 1) * singer.rate_spread_hz;
    note.vibrato_cents = singer.extent_cents * random.between(0.85, 1.15);
    note.vibrato_phase = random.uniform();
    notes.push_back(note);
  }
  return synth::render(notes, seed);
}

struct Errors {
  std::vector<double> alone, together;  ///< of the short notes, absolute, in cents
};

Errors errors_of(const Singer& singer, std::uint64_t seed) {
  const synth::Sound sound = take_of(singer, seed);
  const auto track = refine_track(sound.samples(), synth::coarse_track(sound, 10, 0, seed));
  std::vector<DecodedNote> notes;
  for (const synth::NoteTruth& note : sound.notes) {
    DecodedNote decoded;
    decoded.onset_s = note.onset_s, decoded.end_s = note.end_s;
    notes.push_back(decoded);
  }
  const std::vector<NotePitch> together = measure_notes(sound.samples(), track, notes);
  REQUIRE(together.size() == notes.size());
  Errors errors;
  for (std::size_t i = 12; i < notes.size(); ++i) {
    const Hertz truth(sound.notes[i].pitch_hz);
    const NotePitch alone = measure_note(sound.samples(), track, notes[i].onset_s, notes[i].end_s);
    errors.alone.push_back(std::abs(cents_between(truth, Hertz(alone.hz.value()))));
    errors.together.push_back(std::abs(cents_between(truth, Hertz(together[i].hz.value()))));
  }
  return errors;
}

}  // namespace

TEST_CASE("a slow wobble that long notes show is taken off notes of one or two cycles") {
  const Errors errors = errors_of({}, 7041);
  CHECK(trial::quantile(errors.together, 0.5) < 2);
  CHECK(trial::quantile(errors.together, 0.5) < 0.6 * trial::quantile(errors.alone, 0.5));
  CHECK(trial::quantile(errors.together, 0.95) < 0.8 * trial::quantile(errors.alone, 0.95));
}

TEST_CASE("a singer without vibrato, or whose vibrato has another rate in each note, is measured note by note") {
  for (const Singer& singer : {Singer{3.4, 0.1, 0}, Singer{5.3, 2.2, 50}}) {
    const Errors errors = errors_of(singer, 7042);
    CHECK(errors.together == errors.alone);
  }
}
