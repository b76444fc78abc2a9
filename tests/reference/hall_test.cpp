// Takes sung in a hall whose sound is as loud as the singer's own: notes are found where they begin, and none is told
// in an octave in which it was not sung. Simulated singers (seeds 7201 and 7202).
#include <doctest/doctest.h>

#include <cmath>

#include "against_truth.hpp"
#include "firmus/theory.hpp"
#include "reverberation.hpp"

using namespace firmus;
using namespace firmus::reference;

TEST_CASE("in a hall of 2 s") {
  int sung = 0, found = 0, on_time = 0, told_elsewhere = 0;
  for (const char* name : {"kite", "harbour", "mill"}) {
    for (const std::uint64_t seed : {7201, 7202}) {
      singer::Plan plan;
      plan.seed = seed;
      plan.room.reverb_s = 0;
      const Melody melody = studio_melody(name);
      singer::Performance take = singer::sing(melody, plan);
      support::add_reverberation(take.samples, singer::rate_hz, 2, -3, seed);
      const Result result = measure_samples(take.samples, melody);
      const Agreement agreement = compare(result, take.notes);
      INFO(name << " " << seed << ":" << agreement.not_found);
      sung += agreement.sung, found += agreement.found, on_time += agreement.onset_within_50_ms;
      for (const singer::SungNote& truth : take.notes)
        for (const NoteResult& note : result.notes)
          told_elsewhere += note.index == truth.written && note.sung_hz && !note.unclear_reason &&
                            std::abs(cents_between(Hertz(truth.sung_hz), Hertz(*note.sung_hz))) > 600;
    }
  }
  // Measured: 191 of 192 found, 183 on time, none elsewhere. Without the stage `room` 150 are on time and 10 elsewhere,
  // without the octave of the key 4 are elsewhere.
  CHECK(found >= sung - 1);
  CHECK(on_time >= 0.92 * sung);
  CHECK(told_elsewhere == 0);
}
