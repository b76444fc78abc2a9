// Rooms of known reverberation time: exponentially decaying noise behind notes of known pitch (seeds 7101 and 7102).
#include "room/room.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"
#include "reverberation.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

/// Thirty notes with short gaps, legato in part, and silence behind.
synth::Sound line(std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<synth::Note> notes;
  for (int i = 0; i < 30; ++i) {
    synth::Note note;
    note.pitch_hz = hz_from_midi(57 + std::floor(random.between(0, 12)));
    note.length_s = random.between(0.3, 0.7);
    note.gap_after_s = i % 3 == 2 ? 0.25 : 0.02;
    note.vowel = i % 5;
    note.wander = synth::Wander{};
    notes.push_back(note);
  }
  return synth::render(notes, seed, 0.5);
}

std::vector<float> in_room(std::vector<float> samples, double time_s, double under_db, std::uint64_t seed) {
  support::add_reverberation(samples, Samples::rate_hz, time_s, under_db, seed);
  return samples;
}

double level_db(const Samples& samples, double from_s, double length_s) {
  std::vector<float> part(static_cast<std::size_t>(length_s * Samples::rate_hz));
  samples.read(static_cast<std::int64_t>(from_s * Samples::rate_hz), part);
  double power = 1e-12;
  for (const float value : part) power += static_cast<double>(value) * value;
  return 10 * std::log10(power / static_cast<double>(part.size()));
}

}  // namespace

TEST_CASE("a hall is told from a dry recording and from a small room") {
  const synth::Sound dry = line(7101);
  CHECK_FALSE(estimate_long_reverberation(dry.samples()));
  CHECK_FALSE(estimate_long_reverberation(Samples(in_room(dry.values, 0.4, 3, 1))));
  for (const double time_s : {1.8, 2.5}) {
    const auto estimate = estimate_long_reverberation(Samples(in_room(dry.values, time_s, 2, 2)));
    REQUIRE(estimate);
    CHECK(estimate->value() == doctest::Approx(time_s).epsilon(0.35));
  }
}

TEST_CASE("a few seconds, silence and nothing at all have no reverberation") {
  CHECK_FALSE(estimate_long_reverberation(Samples{}));
  CHECK_FALSE(estimate_long_reverberation(Samples(std::vector<float>(100, 0.1F))));
  CHECK_FALSE(estimate_long_reverberation(Samples(std::vector<float>(16000 * 20, 0.0F))));
}

TEST_CASE("the tail is taken away, and the notes stay") {
  const synth::Sound dry = line(7102);
  const Samples wet(in_room(dry.values, 2, 3, 3));
  const Samples cleaned = without_late_reverberation(wet, Seconds(2));
  REQUIRE(cleaned.size() == wet.size());
  int gaps = 0;
  for (std::size_t i = 0; i + 1 < dry.notes.size(); ++i) {
    const double end_s = dry.notes[i].end_s, gap_s = dry.notes[i + 1].onset_s - end_s;
    if (gap_s < 0.2) continue;
    ++gaps;
    CHECK(level_db(cleaned, end_s + 0.1, 0.08) < level_db(wet, end_s + 0.1, 0.08) - 6);
  }
  CHECK(gaps == 9);
  for (const synth::NoteTruth& note : dry.notes) {
    CAPTURE(note.onset_s);
    CHECK(level_db(cleaned, note.onset_s + 0.05, 0.1) > level_db(wet, note.onset_s + 0.05, 0.1) - 8);
  }
}

TEST_CASE("without a tail to expect the samples come back as they were") {
  const synth::Sound dry = line(7102);
  const Samples same = without_late_reverberation(dry.samples(), Seconds(0.02));
  std::vector<float> values(dry.values.size());
  same.read(0, values);
  double worst = 0;
  for (std::size_t i = 0; i < values.size(); ++i)
    worst = std::max(worst, std::abs(static_cast<double>(values[i]) - dry.values[i]));
  CHECK(worst < 1e-5);
}
