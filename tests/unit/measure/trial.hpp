// Measures simulated notes and collects their errors, for all accuracy tests.
#pragma once
#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <vector>

#include "firmus/theory.hpp"
#include "measure/measure.hpp"
#include "synth.hpp"

namespace firmus::trial {

inline double quantile(std::vector<double> values, double part) {
  std::sort(values.begin(), values.end());
  return values.empty()
             ? 1e9
             : values[std::min(values.size() - 1, static_cast<std::size_t>(part * static_cast<double>(values.size())))];
}

struct Condition {
  double lowest_midi = 40, highest_midi = 84;  ///< E2 to C6
  double shortest_s = 0.2, longest_s = 2;
  std::optional<double> snr_db;
  std::function<void(synth::Note&, synth::Random&)> shape = [](synth::Note&, synth::Random&) {};
  /// Listeners who mark a steady part differ by 10 to 20 ms; so does the truth here.
  double marks_off_s = 0.015;
};

struct Outcome {
  int notes = 0, with_pitch = 0, held = 0, unclear = 0;
  std::vector<double> abs_cents;  ///< of every note: one without a pitch counts as 1200 cents off
  double median() const { return quantile(abs_cents, 0.5); }
  double p95() const { return quantile(abs_cents, 0.95); }
  double coverage() const { return 100.0 * held / notes; }  ///< a note without an interval does not hold the truth
};

inline synth::Note random_note(const Condition& condition, synth::Random& random) {
  synth::Note note;
  note.pitch_hz = hz_from_midi(random.between(condition.lowest_midi, condition.highest_midi));
  note.length_s = condition.shortest_s * std::pow(condition.longest_s / condition.shortest_s, random.uniform());
  note.vowel = static_cast<int>(5 * random.uniform());
  note.gap_after_s = random.between(0.02, 0.1);
  note.attack_s = random.between(0.015, 0.04);
  note.release_s = random.between(0.02, 0.06);
  note.wander = synth::Wander{};
  note.mark_from_off_s = condition.marks_off_s * random.normal();
  note.mark_to_off_s = condition.marks_off_s * random.normal();
  condition.shape(note, random);
  return note;
}

inline void measure_all(const synth::Sound& sound, synth::Random& random, Outcome& outcome) {
  const Samples samples = sound.samples();
  const auto track = refine_track(samples, synth::coarse_track(sound, 15, 0.01, 5));
  for (const synth::NoteTruth& truth : sound.notes) {
    const NotePitch pitch = measure_note(samples, track, truth.onset_s + random.between(-0.015, 0.02),
                                         truth.end_s + random.between(-0.02, 0.02));
    ++outcome.notes;
    outcome.unclear += pitch.unclear ? 1 : 0;
    const double off = pitch.hz ? std::abs(cents_between(Hertz(truth.pitch_hz), Hertz(*pitch.hz))) : 1200;
    outcome.abs_cents.push_back(off);
    outcome.with_pitch += pitch.hz ? 1 : 0;
    outcome.held += pitch.se_cents && off <= 1.96 * *pitch.se_cents ? 1 : 0;
  }
}

inline Outcome run(const Condition& condition, int notes, std::uint64_t seed) {
  synth::Random random(seed);
  Outcome outcome;
  for (int done = 0; done < notes; done += 10) {
    std::vector<synth::Note> row;
    for (int i = 0; i < 10; ++i) row.push_back(random_note(condition, random));
    synth::Sound sound = synth::render(row, seed * 1000 + static_cast<std::uint64_t>(done));
    if (condition.snr_db) synth::add_noise(sound, *condition.snr_db, seed + static_cast<std::uint64_t>(done));
    measure_all(sound, random, outcome);
  }
  return outcome;
}

}  // namespace firmus::trial
