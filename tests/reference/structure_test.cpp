// Takes that are not sung as written (another octave, key or pace, a phrase left out or sung twice, a change of key, a
// slow drift, talk before the first note) are reported as such, and their notes are still matched. Simulated singers.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "against_truth.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

struct Sung {
  Melody melody;
  singer::Performance performance;
  Result result;
  Agreement agreement;
  double first_onset_s() const { return performance.notes.front().onset_s; }
};

Sung sing_and_measure(const std::string& melody_name, const singer::Plan& plan) {
  Sung sung{studio_melody(melody_name), {}, {}, {}};
  sung.performance = singer::sing(sung.melody, plan);
  sung.result = measure_samples(sung.performance.samples, sung.melody);
  sung.agreement = compare(sung.result, sung.performance.notes);
  return sung;
}

// Number of singers: the environment variable FIRMUS_SINGERS, by default 1.
std::uint64_t singer_count() {
  const char* count = std::getenv("FIRMUS_SINGERS");
  return count ? std::strtoull(count, nullptr, 10) : 1;
}

// A woman, a man, a child, and so on, each with another seed.
std::vector<singer::Plan> singers(std::uint64_t seed) {
  std::vector<singer::Plan> plans;
  for (std::uint64_t i = 0; i < singer_count(); ++i) {
    singer::Plan plan;
    plan.seed = seed + 1000 * i;
    plan.voice.formant_scale = 1.15 + 0.15 * static_cast<double>(i % 3 == 1 ? -1 : i % 3 == 2 ? 1 : 0);
    plan.voice.vibrato_extent_cents = i % 3 == 2 ? 0 : 18 + 8 * static_cast<double>(i);
    plans.push_back(plan);
  }
  return plans;
}

// With many singers one note per take may be lost, with the single default singer none.
const int notes_lost_at_most = singer_count() > 1 ? 1 : 0;

void check_notes_matched(const Sung& sung) {
  INFO("not as the truth:" << sung.agreement.not_found);
  CHECK(sung.agreement.found >= sung.agreement.sung - notes_lost_at_most);
  CHECK(sung.agreement.wrongly_missing <= notes_lost_at_most);
  CHECK(sung.agreement.wrongly_sung <= notes_lost_at_most);
  CHECK(quantile_of_size(sung.agreement.cents_off, 0.5) < 2);
  CHECK(quantile_of_size(sung.agreement.cents_off, 0.95) < 6);
  CHECK(sung.result.decision == AlignmentDecision::sure);
}

// Least-squares slope of the truth in cents per minute: the planted drift and the singer's random errors together.
double sung_drift(const std::vector<singer::SungNote>& notes) {
  double n = 0, t = 0, c = 0, tt = 0, tc = 0;
  for (const singer::SungNote& note : notes) {
    const double minutes = (note.onset_s + note.end_s) / 120, cents = note.cents_from_written.value();
    n += 1;
    t += minutes;
    c += cents;
    tt += minutes * minutes;
    tc += minutes * cents;
  }
  return (n * tc - t * c) / (n * tt - t * t);
}

double median_own_error(const Result& result) {
  std::vector<double> errors;
  for (const NoteResult& note : result.notes) {
    if (note.errors.own_cents) errors.push_back(*note.errors.own_cents);
  }
  return quantile_of_size(errors, 0.5);
}

}  // namespace

TEST_CASE("a take sung an octave lower is in transposition -12 and in tune with concert pitch") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(101)) {
      CAPTURE(plan.seed);
      plan.voice.formant_scale = 1.0;
      plan.transposition_semitones = -12;
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      CHECK(sung.result.transposition_semitones == -12);
      CHECK(std::abs(sung.result.centre_cents.value()) < 6);
      // an octave is not an error of each note: concert errors are measured in the octave that was sung
      CHECK(std::abs(sung_note(sung.result, 3).errors.concert_cents.value()) < 25);
    }
  }
}

TEST_CASE("a take sung a fourth higher is in transposition 5, in tune with itself and 500 cents from concert pitch") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(102)) {
      CAPTURE(plan.seed);
      plan.transposition_semitones = 5;
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      CHECK(sung.result.transposition_semitones == 5);
      CHECK(median_own_error(sung.result) < 8);
      CHECK(std::abs(sung_note(sung.result, 3).errors.concert_cents.value() - 500) < 25);
    }
  }
}

TEST_CASE("a take at half speed has half the tempo and every note") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(103)) {
      CAPTURE(plan.seed);
      plan.tempo_factor = 0.5;
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      const double written = sung.melody.notes.front().quarters_per_minute.value();
      CHECK(sung.result.tempo_bpm.value() == doctest::Approx(written / 2).epsilon(0.06));
    }
  }
}

TEST_CASE("a phrase left out in the middle is missing, and nothing else is") {
  struct Case {
    std::string name;
    singer::IndexRange middle;
  };
  for (const auto& [name, middle] : {Case{"harbour", {8, 16}}, Case{"mill", {13, 25}}, Case{"kite", {10, 19}}}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(104)) {
      CAPTURE(plan.seed);
      plan.left_out = {middle};
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      std::vector<int> left_out;
      for (int i = middle.from; i <= middle.to; ++i) left_out.push_back(i);
      const std::vector<int> missing = indices_with(sung.result, NoteStatus::missing);
      CHECK(std::includes(missing.begin(), missing.end(), left_out.begin(), left_out.end()));
      CHECK(static_cast<int>(missing.size() - left_out.size()) <= notes_lost_at_most);
      CHECK(sung.result.summary.missing == static_cast<int>(missing.size()));
    }
  }
}

TEST_CASE("a first phrase sung twice is two tries: the first not counted, every note taken from the second") {
  struct Case {
    std::string name;
    int last;
  };
  for (const auto& [name, last] : {Case{"harbour", 7}, Case{"mill", 12}, Case{"kite", 9}}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(105)) {
      CAPTURE(plan.seed);
      plan.restarts = {{{0, last}, 1.3}};
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      REQUIRE(sung.result.attempts.size() == 2);
      CHECK_FALSE(sung.result.attempts[0].counts);
      CHECK(sung.result.attempts[0].written_from == 0);
      CHECK(sung.result.attempts[0].written_to == last);
      CHECK(sung.result.attempts[1].counts);
      CHECK(sung.result.attempts[1].written_to >= static_cast<int>(sung.melody.notes.size()) - 1 - notes_lost_at_most);
      const auto restarts = std::count_if(sung.result.notes.begin(), sung.result.notes.end(),
                                          [](const NoteResult& note) { return note.status == NoteStatus::restart; });
      CHECK(restarts == last + 1);
      CHECK(sung.result.summary.extra == 0);
    }
  }
}

TEST_CASE("a key changed in the middle makes two stretches, each in tune with itself") {
  struct Case {
    std::string name;
    int from;
    double semitones;
  };
  for (const auto& [name, from, semitones] : {Case{"harbour", 13, 2}, Case{"mill", 20, 2}, Case{"kite", 15, -1}}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(106)) {
      CAPTURE(plan.seed);
      plan.key_changes = {{from, semitones}};
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      REQUIRE(sung.result.key_segments.size() == 2);
      const KeySegment& before = sung.result.key_segments[0];
      const KeySegment& after = sung.result.key_segments[1];
      CHECK(after.transposition_semitones - before.transposition_semitones == static_cast<int>(semitones));
      CHECK(std::abs(after.from_index - from) <= 1);
      CHECK(sung.result.summary.in_tune >= sung.result.summary.written - 1 - notes_lost_at_most);
    }
  }
}

TEST_CASE("a take that sinks by 60 cents has that drift, and its notes are in tune with its own line") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(107)) {
      CAPTURE(plan.seed);
      plan.drift_cents = -60;
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      REQUIRE(sung.result.key_segments.size() == 1);
      const KeySegment& key_segment = sung.result.key_segments[0];
      CHECK(key_segment.drift_significant);
      CHECK(key_segment.drift_cents_per_minute.value() ==
            doctest::Approx(sung_drift(sung.performance.notes)).epsilon(0.12));
      CHECK(median_own_error(sung.result) < 8);
    }
  }
}

namespace {

double first_sung_s(const Sung& sung) {
  double first_s = 1e9;
  for (const NoteResult& note : sung.result.notes)
    if (note.status == NoteStatus::sung && note.onset_s) first_s = std::min(first_s, *note.onset_s);
  return first_s;
}

}  // namespace

TEST_CASE("a minute of talk before the first note costs nothing") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    for (singer::Plan plan : singers(108)) {
      CAPTURE(plan.seed);
      plan.talk_s = 60;
      const Sung sung = sing_and_measure(name, plan);
      check_notes_matched(sung);
      CHECK(sung.result.summary.extra == 0);
      CHECK(sung.result.attempts.size() == 1);
      CHECK(first_sung_s(sung) > sung.first_onset_s() - 0.1);
    }
  }
}
