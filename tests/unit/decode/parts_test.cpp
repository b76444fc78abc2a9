#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>

#include "base/frames.hpp"
#include "boundaries.hpp"
#include "ideal.hpp"
#include "jump_targets.hpp"
#include "posterior_median.hpp"
#include "segment_pitch.hpp"
#include "state_grid.hpp"

using namespace firmus;
using namespace firmus::decode;
using namespace firmus::test;

TEST_CASE("key and tempo walk at the cost of their steps, and a leap of key costs no more than its limit") {
  StateGrid grid;
  grid.key_cents = {0, 100, 200, 300, 400};
  grid.quarter_s = {0.5, 0.6};
  grid.key_step_cost = 2;
  grid.key_jump_cost = 5;
  grid.tempo_step_cost = 3;
  StateScores plane(10, log_zero);
  plane[2] = 10;  // key 100, tempo 0.5
  std::vector<std::uint32_t> origin{0, 1, 2, 3, 4, 5, 6, 7, 8, 9};
  transition(grid, plane, origin);
  const std::vector<float> expected{8, 5, 10, 7, 8, 5, 6, 3, 5, 2};  // by hand
  CHECK(plane == expected);
  for (const auto from : origin) CHECK(from == 2);
}

namespace {
std::vector<Boundary> boundaries_in(const Ideal& ideal) {
  return find_boundaries(ideal.f0_track.f0_hz, ideal.onsets.onset_logit, -4.5F);
}
}  // namespace

TEST_CASE("boundaries are the peaks of the onset evidence and the starts of voicing no peak is near") {
  Ideal ideal = ideal_evidence({{0.5, 0.9, 220}, {1.5, 1.9, 220}}, 3);
  for (std::size_t i = 290; i < 312; ++i) ideal.onsets.onset_logit[i] = -8;  // the second has no onset evidence
  const auto boundaries = boundaries_in(ideal);
  REQUIRE(boundaries.size() == 2);
  CHECK(boundaries[0].frame == 100);
  CHECK(boundaries[1].frame == 304);  // 20 ms after the first voiced frame
}

namespace {
/// One voiced sound from 0.5 to 1.5 s whose pitch follows `cents_at` (seconds from its start). The onset evidence shows
/// a single note.
template <class Cents>
std::vector<Boundary> boundaries_of_line(const Cents& cents_at) {
  Ideal ideal = ideal_evidence({{0.5, 1.5, 220}}, 2);
  for (std::size_t i = 100; i < 300; ++i)
    ideal.f0_track.f0_hz[i] = static_cast<float>(220 * std::exp2(cents_at(time_of_frame(i - 100)) / 1200));
  return boundaries_in(ideal);
}
}  // namespace

TEST_CASE("a semitone sung on without a trace in the sound is a boundary; vibrato and a scoop are none") {
  const auto step = boundaries_of_line([](double t) { return 100 * std::clamp((t - 0.47) / 0.06, 0.0, 1.0); });
  REQUIRE(step.size() == 2);
  CHECK(step[1].frame >= 198);  // half way up the glide, at 1.0 s
  CHECK(step[1].frame <= 202);
  CHECK(boundaries_of_line([](double t) { return 100 * std::sin(2 * 3.14159265 * 5.5 * t); }).size() == 1);
  CHECK(boundaries_of_line([](double t) { return -150 * std::exp(-t / 0.05); }).size() == 1);
}

TEST_CASE("a semitone out of vibrato and a third of a semitone are boundaries too; vibrato that sinks slowly is none") {
  const auto vibrato = [](double t) { return 45 * std::sin(2 * 3.14159265 * 5.5 * t); };
  const auto step = [](double t, double cents) { return cents * std::clamp((t - 0.47) / 0.06, 0.0, 1.0); };
  const auto out_of_vibrato = boundaries_of_line([&](double t) { return vibrato(t) + step(t, 100); });
  REQUIRE(out_of_vibrato.size() == 2);
  CHECK(out_of_vibrato[1].frame >= 188);  // within 60 ms of the middle of the glide
  CHECK(out_of_vibrato[1].frame <= 212);
  const auto small = boundaries_of_line([&](double t) { return step(t, 33); });
  REQUIRE(small.size() == 2);
  CHECK(small[1].logit == doctest::Approx(-4));
  CHECK(small[1].frame >= 198);
  CHECK(small[1].frame <= 202);
  CHECK(boundaries_of_line([&](double t) { return vibrato(t) - 60 * t; }).size() == 1);
}

namespace {
/// Fit of a second of `f0_track_hz` to `written_cents`, every frame with one more candidate.
float fit_beside(float f0_track_hz, PitchCandidate beside, double written_cents) {
  Ideal ideal = ideal_evidence({{0.5, 1.5, static_cast<double>(f0_track_hz)}}, 2);
  auto& [evidence, f0_track, onsets] = ideal;
  evidence.candidates.clear();
  for (std::size_t i = 0; i <= evidence.frames(); ++i) {
    evidence.first_candidate[i] = static_cast<std::uint32_t>(evidence.candidates.size());
    if (i == evidence.frames() || !f0_track.voiced(i)) continue;
    evidence.candidates.push_back({f0_track_hz, f0_track.nsdf_peak[i]});
    evidence.candidates.push_back({beside.f0_hz, f0_track.nsdf_peak[i] - beside.nsdf_peak});
  }
  const std::vector<Boundary> boundaries{{100, 6}};
  SegmentPitch pitch(ideal, boundaries);
  pitch.start_at(1);
  pitch.extend_back();
  pitch.transform();
  return pitch.fit(pitch.grid_at(written_cents)) - pitch.free_fit();
}
}  // namespace

TEST_CASE(
    "an octave above the f0 track fits as well where it is as strong, less where it is weaker; one below does not") {
  // A3 (5700 cents) and A4; how much weaker the second candidate is
  CHECK(fit_beside(220, {440, 0.05F}, 6900) == doctest::Approx(0));
  CHECK(fit_beside(220, {440, 0.25F}, 6900) < -5.9);
  CHECK(fit_beside(220, {440, 0.05F}, 5700) == doctest::Approx(0));
  CHECK(fit_beside(440, {220, 0.0F}, 5700) == doctest::Approx(-6));  // the cap
}

TEST_CASE("the fit of a segment is best at its pitch and falls by 1 for 60 cents, to a limit") {
  const Ideal ideal = ideal_evidence({{0.5, 1.5, 440}}, 2);
  const std::vector<Boundary> boundaries{{100, 6}};
  SegmentPitch pitch(ideal, boundaries);
  pitch.start_at(1);
  pitch.extend_back();
  pitch.transform();
  CHECK(pitch.voiced_frames() == 200);
  const int at = pitch.grid_at(6900);
  CHECK(pitch.fit(at) == doctest::Approx(pitch.free_fit()));
  CHECK(pitch.free_fit() - pitch.fit(at + 12) == doctest::Approx(300.0 / 60));  // 12 places of 25 cents
  CHECK(pitch.free_fit() - pitch.fit(at - 60) == doctest::Approx(6));
  CHECK(pitch.free_fit() - pitch.fit(-5) == doctest::Approx(6));
}

namespace {
/// A melody in which similar passages are at least 56 notes apart: scale steps from a quadratic sequence.
Melody long_line(int notes) {
  const std::vector<std::string> names{"C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"};
  std::string text;
  for (int i = 0; i < notes; ++i) text += names[static_cast<std::size_t>((i * i / 7 + 3 * i) % 8)] + ' ';
  return read_melody(text, "long line");
}
}  // namespace

TEST_CASE("of a long melody the note that a boundary starts is among the few where a jump could land, in any key") {
  for (const int notes : {200, 1000}) {
    CAPTURE(notes);
    const Melody melody = long_line(notes);
    const Ideal ideal = ideal_evidence(sing_exactly(melody, 1.0, 0.5, 1.3), 3 + notes / 2);
    const auto boundaries = boundaries_in(ideal);
    REQUIRE(boundaries.size() == static_cast<std::size_t>(notes));
    const auto targets =
        JumpTargets::candidates_by_intervals(ideal.f0_track.f0_hz, boundaries, target_notes_of(melody, Costs{}));
    for (std::size_t i = 0; i + 6 < boundaries.size(); ++i) {
      CAPTURE(i);
      CHECK(targets.at(i).size() == JumpTargets::most);
      CHECK(std::ranges::is_sorted(targets.at(i)));
      CHECK(std::ranges::count(targets.at(i), i) == 1);
      CHECK(targets.at(i).front() == 0);
    }
  }
}

TEST_CASE("where nothing tells the notes of a long melody apart, a jump could land on the first ones") {
  std::vector<std::uint32_t> first(JumpTargets::most);
  std::iota(first.begin(), first.end(), 0U);
  for (const int notes : {200, 1000}) {
    const std::vector<Boundary> boundaries{{100, 3}};
    const auto targets = JumpTargets::candidates_by_intervals(ideal_evidence({}, 1).f0_track.f0_hz, boundaries,
                                                              target_notes_of(long_line(notes), Costs{}));
    CHECK(std::ranges::equal(targets.at(0), first));
  }
}

TEST_CASE("where a first decoding found notes, a jump lands there or beside") {
  const std::vector<Boundary> boundaries{{100, 3}, {1000, 3}, {2000, 3}};
  const std::vector<JumpTargets::Found> found{{110, 0}, {950, 7}, {1050, 30}};
  const auto targets = JumpTargets::near(found, boundaries, 31);
  const auto at = [&](std::size_t i) { return std::vector<std::uint32_t>(targets.at(i).begin(), targets.at(i).end()); };
  CHECK(at(0) == std::vector<std::uint32_t>{0, 1});
  CHECK(at(1) == std::vector<std::uint32_t>{6, 7, 8, 29, 30});
  CHECK(at(2).empty());
}

TEST_CASE("an onset lies at the median of its evidence") {
  std::vector<float> logits(100, -40.0F);
  const auto likely = [&](std::ptrdiff_t from, std::ptrdiff_t to) {
    std::fill(logits.begin() + from, logits.begin() + to, 40.0F);
  };
  SUBCASE("the chosen frame where there is none") {
    CHECK(posterior_median_frame(logits, {0, 50, 99}) == 50);
  }
  SUBCASE("near the middle of what is even") {
    likely(40, 51);
    CHECK(posterior_median_frame(logits, {0, 43, 99}) == 44);  // the sixth of 12: 11 likely frames and the chosen one
  }
  SUBCASE("towards the wider part") {
    likely(48, 51);
    likely(60, 71);
    CHECK(posterior_median_frame(logits, {0, 49, 99}) ==
          63);  // half of 15 is 7.5: 3 frames, the chosen one, and the first of 11
  }
  SUBCASE("no farther than 150 ms, nor past a neighbour") {
    likely(0, 100);
    CHECK(posterior_median_frame(logits, {0, 50, 99}) == 50);
    CHECK(posterior_median_frame(logits, {50, 50, 99}) == 64);  // of 50 to 80, 50 counted twice
    CHECK(posterior_median_frame(logits, {0, 50, 60}) == 40);   // of 20 to 60, 50 counted twice
  }
  SUBCASE("the chosen frame where its neighbours leave no room") {
    likely(0, 100);
    CHECK(posterior_median_frame(logits, {55, 50, 99}) == 50);
    CHECK(posterior_median_frame(logits, {0, 50, 40}) == 50);
  }
}

TEST_CASE("a boundary whose place is unsure is worth more than its peak") {
  std::vector<float> onset_logits(200, -9.0F);
  for (std::size_t i = 90; i <= 110; ++i) onset_logits[i] = -1.0F;  // for 100 ms a probability of 0.27
  onset_logits[100] = -0.9F;
  const auto boundaries = find_boundaries(std::vector<float>(200), onset_logits, -4.5F);
  REQUIRE(boundaries.size() == 1);
  CHECK(boundaries[0].frame == 100);
  // 17 frames of 0.27 sum to 4.6, of the 8 of a certain onset: log odds of 0.30. Those of the smoothed peak are -0.98.
  CHECK(boundaries[0].logit == doctest::Approx(-0.33).epsilon(0.1));
}
