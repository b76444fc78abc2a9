// Repeated notes on one vowel, sixteenths, wide vibrato, trills. Simulated singers.
#include <doctest/doctest.h>

#include <cmath>

#include "against_truth.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

struct AgileTake {
  singer::Performance performance;
  Result result;
};

AgileTake sing_agile(const Melody& melody, const singer::Plan& plan) {
  AgileTake sung{singer::sing(melody, plan), {}};
  sung.result = measure_samples(sung.performance.samples, melody);
  return sung;
}

/// On one vowel in each phrase.
singer::Plan on_one_vowel(std::uint64_t seed) {
  singer::Plan plan;
  plan.seed = seed;
  plan.slurs = true;
  plan.syllables = {"a"};
  return plan;
}

Melody with_repeats() {
  return read_melody(
      "meter: 4/4\nA4 A4 C5 C5 | B4 B4 B4 G4 | A4:2 F4 F4 | E4:3 , E4 | F4 F4 G4 A4 | A4 A4 D5 C5 | C5 B4 B4 B4 | A4:4",
      "repeats");
}

Melody in_sixteenths() {
  return read_melody(
      "meter: 4/4\ntempo: 120\nA4:0.25 B4:0.25 C5:0.25 D5:0.25 E5:0.25 D5:0.25 C5:0.25 B4:0.25 C5:0.25 A4:0.25 G4:0.25 "
      "F4:0.25 G4:0.25 A4:0.25 B4:0.25 G4:0.25 | A4:0.25 C5:0.25 B4:0.25 D5:0.25 C5:0.25 B4:0.25 A4:0.25 G4:0.25 "
      "F4:0.25 "
      "E4:0.25 F4:0.25 G4:0.25 A4:1",
      "sixteenths");
}

}  // namespace

TEST_CASE("repeated notes on one vowel, with dips of 6 dB, are all found and none is said to be missing") {
  for (const std::uint64_t seed : {301U, 302U}) {
    singer::Plan plan = on_one_vowel(seed);
    plan.voice.legato_dip = 0.5;
    const AgileTake sung = sing_agile(with_repeats(), plan);
    const Agreement agreement = compare(sung.result, sung.performance.notes);
    INFO(agreement.not_found);
    CHECK(sung.result.decision == AlignmentDecision::sure);
    CHECK(agreement.found == agreement.sung);
    CHECK(agreement.onset_within_50_ms >= agreement.sung - 2);
  }
}

TEST_CASE("legato sixteenths at 120 quarters a minute are found") {
  for (const std::uint64_t seed : {311U, 312U}) {
    singer::Plan plan = on_one_vowel(seed);
    plan.timing_spread_s = 0.008;
    plan.voice.legato_dip = 0.9;
    plan.voice.glide_s = 0.04;
    const AgileTake sung = sing_agile(in_sixteenths(), plan);
    const Agreement agreement = compare(sung.result, sung.performance.notes);
    INFO(agreement.not_found);
    CHECK(sung.result.decision == AlignmentDecision::sure);
    CHECK(agreement.found >= agreement.sung - 1);
  }
}

TEST_CASE("vibrato of 80 cents either way from the onset on loses no note and is no second voice") {
  singer::Plan plan;
  plan.seed = 321;
  plan.voice.vibrato_extent_cents = 80;
  plan.voice.vibrato_delay_s = -0.1;
  const AgileTake sung = sing_agile(studio_melody("harbour"), plan);
  const Agreement agreement = compare(sung.result, sung.performance.notes);
  CHECK(agreement.found == agreement.sung);
  CHECK(quantile_of_size(agreement.cents_off, 0.5) < 2);
  CHECK(sung.result.signal_quality.warnings.empty());
}

TEST_CASE("a trilled note is not judged by the middle of its two pitches") {
  for (const double trill_cents : {100.0, 200.0}) {
    singer::Plan plan;
    plan.seed = 331;
    plan.voice.vibrato_extent_cents = 0;
    plan.voice.trill_cents = trill_cents;
    plan.voice.trill_from_s = 0.6;
    const AgileTake sung = sing_agile(studio_melody("harbour"), plan);
    CHECK(compare(sung.result, sung.performance.notes).found == static_cast<int>(sung.performance.notes.size()));
    CHECK(sung.result.signal_quality.warnings.empty());
    int trilled = 0, unclear = 0;
    for (const singer::SungNote& truth : sung.performance.notes) {
      const NoteResult& note = sung_note(sung.result, *truth.written);
      const bool is_trilled = truth.end_s - truth.onset_s > 0.6;
      trilled += is_trilled;
      unclear += is_trilled && note.unclear_reason == UnclearReason::unstable;
      if (note.verdict != Verdict::unclear) CHECK(std::abs(1200 * std::log2(*note.sung_hz / truth.centre_hz)) < 25);
    }
    REQUIRE(trilled >= 5);
    CHECK(unclear == trilled);
  }
}
