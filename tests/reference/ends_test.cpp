// Where a take ends: cut off within a note, or with silence or noise behind. Simulated singers.
#include <doctest/doctest.h>

#include <algorithm>

#include "against_truth.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

struct Take {
  Melody melody;
  singer::Performance performance;
  Result result;
};

Take sing_tidily(const std::string& melody_name, std::uint64_t seed) {
  Take take{studio_melody(melody_name), {}, {}};
  singer::Plan plan;
  plan.seed = seed;
  take.performance = singer::sing(take.melody, plan);
  take.result = measure_samples(take.performance.samples, take.melody);
  return take;
}

bool warns_truncated(const Result& result) {
  return std::ranges::any_of(result.signal_quality.warnings,
                             [](const RecordingWarning& warning) { return warning.kind == RecordingFault::truncated; });
}

/// The first part of a take, to `share` of note `index`; its performance lacks that note.
Take cut_within(const Take& whole, std::size_t index, double share) {
  Take cut{whole.melody, whole.performance, {}};
  const singer::SungNote last = whole.performance.notes[index];
  const double end_s = last.onset_s + share * (last.end_s - last.onset_s);
  cut.performance.samples.resize(static_cast<std::size_t>(end_s * singer::rate_hz));
  cut.performance.notes.resize(index);
  cut.result = measure_samples(cut.performance.samples, cut.melody);
  return cut;
}

}  // namespace

TEST_CASE("a take cut off within a note is said to be, and no note behind the cut is sung") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    const Take whole = sing_tidily(name, 109);
    CHECK_FALSE(warns_truncated(whole.result));
    const std::size_t count = whole.performance.notes.size();
    for (const std::size_t index : {count / 4, count / 2, count - 4, count - 3, count - 2}) {
      CAPTURE(index);
      const Take cut = cut_within(whole, index, 0.6);
      CHECK(warns_truncated(cut.result));
      const Agreement agreement = compare(cut.result, cut.performance.notes);
      CHECK(agreement.found == agreement.sung);
      // The note that is cut off may be found; it is not judged.
      for (const NoteResult& note : cut.result.notes) {
        if (note.status != NoteStatus::sung) continue;
        CHECK(*note.index <= static_cast<int>(index));
        if (*note.index == static_cast<int>(index)) CHECK(note.verdict == Verdict::unclear);
      }
    }
  }
}

TEST_CASE("silence and the noise of a room behind a take change no verdict") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    const Take sung = sing_tidily(name, 110);
    for (const double noise : {0.0, 0.001}) {  // amplitude; -60 dBFS
      CAPTURE(noise);
      std::vector<float> longer = sung.performance.samples;
      std::uint32_t state = 1;
      for (int i = 0; i < 8 * singer::rate_hz; ++i) {
        state = state * 1664525U + 1013904223U;  // Numerical Recipes
        longer.push_back(static_cast<float>(noise * (static_cast<double>(state) / 2147483648.0 - 1)));
      }
      const Result result = measure_samples(longer, sung.melody);
      REQUIRE(result.notes.size() == sung.result.notes.size());
      for (std::size_t i = 0; i < result.notes.size(); ++i) {
        CHECK(result.notes[i].status == sung.result.notes[i].status);
        CHECK(result.notes[i].verdict == sung.result.notes[i].verdict);
        CHECK(result.notes[i].index == sung.result.notes[i].index);
      }
    }
  }
}
