#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "sources/sources.hpp"
#include "struck_strings.hpp"

using namespace firmus;
using namespace firmus::sources_test;

namespace {

/// What the stages before this one make of a sound.
struct Heard {
  Samples samples;
  Evidence evidence;
  CoarseF0Track f0_track;
  OnsetEvidence onsets;

  explicit Heard(const synth::Sound& sound)
      : samples(sound.values),
        evidence(gather_evidence(samples, {60, 1600, {}})),
        f0_track(viterbi_f0_track(evidence)),
        onsets(detect_onsets(samples, evidence, f0_track, *default_onset_net())) {}
  std::vector<GivenNote> given() const { return find_given_notes(samples, evidence, f0_track, onsets); }
};

/// Share of the voiced frames from one time to another that lie in given notes.
double share_given(const Heard& heard, const std::vector<GivenNote>& given, double from_s, double to_s) {
  int voiced = 0, left_out = 0;
  for (auto i = static_cast<std::size_t>(from_s / 0.005); i < static_cast<std::size_t>(to_s / 0.005); ++i) {
    if (!heard.f0_track.voiced(i)) continue;
    ++voiced;
    left_out += std::ranges::any_of(given, [i](const GivenNote& note) { return note.begin <= i && i < note.end; });
  }
  return voiced > 0 ? static_cast<double>(left_out) / voiced : 0;
}

}  // namespace

TEST_CASE("a string struck before each sung note is found, whole, and nothing of the voice") {
  for (const double db_per_s : {8.0, 15.0, 40.0})
    for (const int octaves : {-1, 0, 1}) {
      CAPTURE(db_per_s);
      CAPTURE(octaves);
      const Lesson lesson{.midi = some_tune(701), .seed = 702};
      synth::Sound sound = lesson.sung();
      std::vector<String> strings;
      for (std::size_t i = 0; i < lesson.midi.size(); ++i)
        strings.push_back(lesson.giving(i, sound, db_per_s, octaves));
      for (const String& string : strings) add(sound, string);
      const Heard heard(sound);
      const auto given = heard.given();
      for (std::size_t i = 0; i < strings.size(); ++i) {
        CAPTURE(i);
        CHECK(share_given(heard, given, strings[i].from_s, strings[i].to_s) > 0.95);
        CHECK(share_given(heard, given, sound.notes[i].onset_s, sound.notes[i].end_s) < 0.05);
      }
    }
}

TEST_CASE("a given note that is struck twice, as a tremolo or to find it again, is one") {
  const Lesson lesson{.midi = some_tune(715), .room_s = 1.5, .seed = 716};
  synth::Sound sound = lesson.sung();
  for (std::size_t i = 0; i < lesson.midi.size(); ++i) {
    String string = lesson.giving(i, sound, 15, 0);
    add(sound, string);
    string.to_s = string.from_s, string.from_s -= 0.5;
    add(sound, string);
  }
  CHECK(Heard(sound).given().size() == lesson.midi.size());
}

TEST_CASE("strings struck before phrases alone are found, too") {
  const Lesson lesson{.midi = some_tune(703), .seed = 704};
  synth::Sound sound = lesson.sung();
  std::vector<String> strings;
  for (std::size_t i = 0; i < lesson.midi.size(); i += 3) strings.push_back(lesson.giving(i, sound, 15, 0));
  for (const String& string : strings) add(sound, string);
  CHECK(Heard(sound).given().size() == strings.size());
}

TEST_CASE("a voice alone has no given notes, with repeated notes neither") {
  for (const bool repeats : {false, true}) {
    Lesson lesson{.midi = some_tune(705), .room_s = 0.15, .seed = 706};
    if (repeats)
      for (std::size_t i = 1; i < lesson.midi.size(); i += 2) lesson.midi[i] = lesson.midi[i - 1];
    CHECK(Heard(lesson.sung()).given().empty());
  }
}

TEST_CASE("who plays a struck instrument is not given notes, with repeated notes neither") {
  for (const bool repeats : {false, true}) {
    synth::Sound sound;
    sound.values.assign(static_cast<std::size_t>(18 * Samples::rate_hz), 0.0F);
    std::vector<double> midi = some_tune(707);
    for (std::size_t i = 1; repeats && i < midi.size(); i += 2) midi[i] = midi[i - 1];
    for (std::size_t i = 0; i < midi.size(); ++i) {
      const double from_s = 0.3 + 0.85 * static_cast<double>(i);
      add(sound, {from_s, from_s + 0.7, 440 * std::exp2((midi[i] - 69) / 12), 15});
    }
    CHECK(Heard(sound).given().empty());
  }
}

TEST_CASE("four given notes are too few to be sure of") {
  const Lesson lesson{.midi = some_tune(708), .seed = 709};
  synth::Sound sound = lesson.sung();
  for (std::size_t i = 0; i < 4; ++i) add(sound, lesson.giving(i, sound, 15, 0));
  CHECK(Heard(sound).given().empty());
}

TEST_CASE("where notes are left out there is no pitch and hardly an onset or an end, and elsewhere nothing changes") {
  CoarseF0Track track{std::vector<float>(10, 220.0F), std::vector<float>(10, 0.9F)};
  OnsetEvidence onsets{std::vector<float>(10, 2.0F), std::vector<float>(10, -3.0F)};
  onsets.onset_logit[4] = -12;
  leave_out({{2, 5}}, track, onsets);
  CHECK(track.f0_hz == std::vector<float>{220, 220, 0, 0, 0, 220, 220, 220, 220, 220});
  CHECK(track.nsdf_peak[3] == 0);
  CHECK(track.nsdf_peak[5] == 0.9F);
  CHECK(onsets.onset_logit == std::vector<float>{2, 2, -8, -8, -12, 2, 2, 2, 2, 2});
  CHECK(onsets.offset_logit == std::vector<float>{-3, -3, -8, -8, -8, -3, -3, -3, -3, -3});
}

TEST_CASE("silence has no given notes") {
  synth::Sound sound;
  sound.values.assign(16000, 0.0F);
  CHECK(Heard(sound).given().empty());
}
