#include <doctest/doctest.h>

#include <cmath>

#include "firmus/theory.hpp"
#include "sources/sources.hpp"
#include "struck_strings.hpp"

using namespace firmus;
using namespace firmus::sources_test;

namespace {

/// A voice with an instrument that plays each note along, `octaves` lower, its root mean square `gain` times as high.
synth::Sound doubled(const Lesson& lesson, int octaves, double gain) {
  synth::Sound sound = lesson.sung();
  std::vector<synth::Note> notes;
  for (const double key : lesson.midi) {
    synth::Note note;
    note.pitch_hz = 440 * std::exp2((key - 69) / 12 - octaves);
    note.length_s = lesson.length_s;
    note.gap_after_s = lesson.room_s;
    note.timbre = synth::Timbre::plain;
    notes.push_back(note);
  }
  synth::add_sound(sound, synth::render(notes, lesson.seed + 1, lesson.room_s), gain);
  return sound;
}

struct Tracked {
  synth::Sound sound;
  Evidence evidence;
  CoarseF0Track f0_track;
  double share = 0;
  explicit Tracked(synth::Sound of)
      : sound(std::move(of)),
        evidence(gather_evidence(sound.samples(), {40, 1600, {}})),
        f0_track(viterbi_f0_track(evidence)) {}

  void follow() {
    const OnsetEvidence onsets = detect_onsets(sound.samples(), evidence, f0_track, *default_onset_net());
    share = follow_voice_above(evidence, onsets, f0_track);
  }
  /// Share of the frames within the voice's notes whose track is within 50 cents of it.
  double at_voice() const {
    int all = 0, right = 0;
    for (const synth::NoteTruth& note : sound.notes)
      for (auto i = static_cast<std::size_t>(note.steady_from_s / 0.005) + 4;
           i < static_cast<std::size_t>(note.steady_to_s / 0.005) - 4; ++i) {
        ++all;
        right += f0_track.voiced(i) && std::abs(cents_between(Hertz(note.pitch_hz), Hertz(f0_track.f0_hz[i]))) < 70;
      }
    return static_cast<double>(right) / all;
  }
};

}  // namespace

TEST_CASE("an instrument an octave under the voice is noticed, and the track follows the voice") {
  for (const double gain : {0.25, 0.4}) {
    CAPTURE(gain);
    const Lesson lesson{.midi = some_tune(711), .room_s = 0.2, .seed = 712};
    Tracked tracked(doubled(lesson, 1, gain));
    const double before = tracked.at_voice();
    tracked.follow();
    CHECK(tracked.share > 0.35);
    CHECK(before < 0.7);
    CHECK(tracked.at_voice() > 0.95);
  }
}

TEST_CASE("a voice alone, and one with an instrument in unison or an octave above, keep their track") {
  const Lesson lesson{.midi = some_tune(713), .room_s = 0.2, .seed = 714};
  for (const int octaves : {0, -1}) {
    CAPTURE(octaves);
    for (const double gain : {0.0, 0.25}) {
      Tracked tracked(doubled(lesson, octaves, gain));
      const std::vector<float> before = tracked.f0_track.f0_hz;
      tracked.follow();
      CHECK(tracked.share == 0);
      CHECK(tracked.f0_track.f0_hz == before);
    }
  }
}
