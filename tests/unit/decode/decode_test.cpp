#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/frames.hpp"
#include "ideal.hpp"

using namespace firmus;
using namespace firmus::test;

namespace {
const std::string all_sixteen = "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15";

std::vector<Sounding> without(std::vector<Sounding> notes, std::size_t from, std::size_t to) {
  notes.erase(notes.begin() + static_cast<std::ptrdiff_t>(from), notes.begin() + static_cast<std::ptrdiff_t>(to));
  return notes;
}
}  // namespace

TEST_CASE("every note of a melody sung as written is found at its time") {
  const Melody melody = two_phrases();
  REQUIRE(melody.notes.size() == 16);
  const auto sung = sing_exactly(melody, 1.0, 0.5);
  const Decoded decoded = decode_melody(ideal_evidence(sung, 13), melody);
  CHECK(order_of(decoded) == all_sixteen);
  for (std::size_t i = 0; i < sung.size(); ++i) {
    CHECK(decoded.notes[i].onset_s == doctest::Approx(sung[i].onset_s).epsilon(0.006));
    CHECK(decoded.notes[i].end_s == doctest::Approx(sung[i].end_s).epsilon(0.006));
    CHECK(decoded.notes[i].coarse_hz == doctest::Approx(sung[i].hz).epsilon(1e-4));
  }
  CHECK(decoded.decision == AlignmentDecision::sure);
  REQUIRE(decoded.quarters_per_minute);
  CHECK(*decoded.quarters_per_minute == doctest::Approx(120).epsilon(0.08));
  REQUIRE(decoded.attempts.size() == 1);
  CHECK(decoded.attempts[0].counts);
}

TEST_CASE("an octave lower, a fifth higher, at half and at double speed the notes stay the notes") {
  const Melody melody = two_phrases();
  for (const double semitones : {-12.0, 7.0, -0.5}) {
    const Decoded decoded = decode_melody(ideal_evidence(sing_exactly(melody, 0.5, 0.5, semitones), 13), melody);
    CAPTURE(semitones);
    CHECK(order_of(decoded) == all_sixteen);
    CHECK(decoded.notes[5].transposition_semitones == doctest::Approx(semitones).epsilon(0.05));
  }
  for (const double quarter_s : {0.3, 1.2}) {
    CAPTURE(quarter_s);
    CHECK(order_of(decode_melody(ideal_evidence(sing_exactly(melody, 0.5, quarter_s), 25), melody)) == all_sixteen);
  }
}

TEST_CASE("a note left out is missing, and its neighbours keep their names") {
  const Melody melody = two_phrases();
  const Decoded decoded = decode_melody(ideal_evidence(without(sing_exactly(melody, 0.5, 0.5), 6, 7), 13), melody);
  CHECK(order_of(decoded) == "0 1 2 3 4 5 7 8 9 10 11 12 13 14 15");
  CHECK(decoded.written[6] == NoteStatus::missing);
  CHECK(decoded.written[5] == NoteStatus::sung);
  CHECK(decoded.matched_share == doctest::Approx(15.0 / 16));
}

TEST_CASE("a note too many is an extra") {
  const Melody melody = two_phrases();
  auto sung = sing_exactly(melody, 0.5, 0.5);
  for (std::size_t i = 7; i < sung.size(); ++i) {
    sung[i].onset_s += 0.5;
    sung[i].end_s += 0.5;
  }
  sung.insert(sung.begin() + 7, {sung[6].end_s + 0.06, sung[6].end_s + 0.5, 555.0});
  CHECK(order_of(decode_melody(ideal_evidence(sung, 13), melody)) == "0 1 2 3 4 5 6 x 7 8 9 10 11 12 13 14 15");
}

TEST_CASE("a first phrase that is sung twice is a try that does not count, and its notes are restarts") {
  const Melody melody = two_phrases();
  const auto whole = sing_exactly(melody, 7.0, 0.5);
  auto sung = sing_exactly(melody, 0.5, 0.5);
  sung.resize(10);
  sung.insert(sung.end(), whole.begin(), whole.end());
  const Decoded decoded = decode_melody(ideal_evidence(sung, 20), melody);
  CHECK(order_of(decoded) == "r0 r1 r2 r3 r4 r5 r6 r7 r8 r9 " + all_sixteen);
  REQUIRE(decoded.attempts.size() == 2);
  CHECK_FALSE(decoded.attempts[0].counts);
  CHECK(decoded.attempts[1].counts);
  CHECK(decoded.attempts[0].written_to == 9);
  CHECK(decoded.attempts[1].missing == 0);
}

TEST_CASE("a far sound in the place of a note left out is an extra, unless it is in rhythm") {
  const Melody melody = two_phrases();
  const auto with_note_8 = [&](double later_s, double wait_s) {
    auto sung = sing_exactly(melody, 0.5, 0.5);
    const double onset_s = sung[8].onset_s + later_s;
    sung[8] = {onset_s, onset_s + 0.25, sung[8].hz * std::exp2(-15.4 / 12)};
    for (std::size_t i = 9; i < sung.size(); ++i) {
      sung[i].onset_s += wait_s;
      sung[i].end_s += wait_s;
    }
    return decode_melody(ideal_evidence(sung, sung.back().end_s + 1), melody);
  };
  const Decoded stray = with_note_8(1.2, 3);
  CHECK(order_of(stray) == "0 1 2 3 4 5 6 7 x 9 10 11 12 13 14 15");
  CHECK(stray.written[8] == NoteStatus::missing);
  CHECK(order_of(with_note_8(0, 0)) == all_sixteen);
}

TEST_CASE("a phrase left out is missing as a whole") {
  const Melody melody =
      read_melody("meter: 4/4\nC4 E4 G4 C5 | B4 G4:2 E4 , | F4 A4 G4:2 | D4 F4 A4 G4 , | E4 G4 B4 D5 | C5:2 C4:2", "m");
  auto sung = without(sing_exactly(melody, 0.5, 0.5), 7, 14);
  for (std::size_t i = 7; i < sung.size(); ++i) {
    sung[i].onset_s -= 3.5;
    sung[i].end_s -= 3.5;
  }
  const Decoded decoded = decode_melody(ideal_evidence(sung, 13), melody);
  CHECK(order_of(decoded) == "0 1 2 3 4 5 6 14 15 16 17 18 19");
  CHECK(std::ranges::count(decoded.written, NoteStatus::missing) == 7);
}

TEST_CASE("a take that lacks the first half begins in the middle") {
  const Melody melody = two_phrases();
  const Decoded decoded = decode_melody(ideal_evidence(without(sing_exactly(melody, 0.5, 0.5), 0, 8), 13), melody);
  CHECK(order_of(decoded) == "8 9 10 11 12 13 14 15");
  CHECK(decoded.decision == AlignmentDecision::sure);
}

TEST_CASE("a second try may be far slower than the first") {
  const Melody melody = two_phrases();
  auto sung = sing_exactly(melody, 0.5, 0.3);
  sung.resize(10);
  const auto again = sing_exactly(melody, sung.back().end_s + 2, 0.9);
  sung.insert(sung.end(), again.begin(), again.end());
  const Decoded decoded = decode_melody(ideal_evidence(sung, sung.back().end_s + 1), melody);
  CHECK(order_of(decoded) == "r0 r1 r2 r3 r4 r5 r6 r7 r8 r9 " + all_sixteen);
}

TEST_CASE("optional notes and grace notes that are not sung are left out, not missing") {
  const Melody melody = read_melody("C4 D4:1:maybe E4 | F4 G4:0 A4 | G4 E4 C4", "m");
  auto sung = sing_exactly(melody, 0.5, 0.5);
  sung.erase(sung.begin() + 4);
  sung.erase(sung.begin() + 1);
  const Decoded decoded = decode_melody(ideal_evidence(sung, 6), melody);
  CHECK(decoded.written[1] == NoteStatus::optional_left_out);
  CHECK(decoded.written[4] == NoteStatus::optional_left_out);
  CHECK(std::ranges::count(decoded.written, NoteStatus::sung) == 7);
}

TEST_CASE("another melody is refused") {
  const Melody melody = two_phrases();
  const Melody other = read_melody(
      "meter: 3/4\nG4:2 D4 | B3:3 | G4 F#4 D4 | A4:1/2 B4:1/2 A4:2 | E4:3 | D4 A3 F#4 | C#4:2 E4 | D4:3", "other");
  const Decoded decoded = decode_melody(ideal_evidence(sing_exactly(other, 0.5, 0.5), 15), melody);
  CHECK(decoded.decision == AlignmentDecision::not_this_melody);
}

TEST_CASE("without a melody the notes are found as notes") {
  const auto sung = sing_exactly(two_phrases(), 1.0, 0.5);
  const Decoded decoded = decode_any_notes(ideal_evidence(sung, 13));
  REQUIRE(decoded.notes.size() == 16);
  for (std::size_t i = 0; i < 16; ++i) {
    CHECK(decoded.notes[i].onset_s == doctest::Approx(sung[i].onset_s).epsilon(0.006));
    CHECK(decoded.notes[i].status == NoteStatus::extra);
  }
}

namespace {

constexpr std::size_t spoiled_note = 8;

/// The f0 track of the notes from `first` to before `end` is `track` times their pitch, and they have a second
/// candidate at `other` times it, weaker by `weaker_by`.
struct Spoilt {
  float track = 1, other = 1, weaker_by = 0;
  std::size_t first = spoiled_note, end = spoiled_note + 1;
};

Ideal spoil(const Ideal& ideal, const std::vector<Sounding>& sung, const Spoilt& how) {
  Ideal spoiled = ideal;
  auto& candidates = spoiled.evidence.candidates;
  candidates.clear();
  spoiled.evidence.first_candidate.assign(1, 0);
  for (std::size_t i = 0; i < ideal.evidence.frames(); ++i) {
    const double time_s = time_of_frame(i);
    const float f0_hz = ideal.f0_track.f0_hz[i], peak = ideal.f0_track.nsdf_peak[i];
    if (ideal.f0_track.voiced(i)) {
      const bool in_note = time_s >= sung[how.first].onset_s && time_s < sung[how.end - 1].end_s;
      spoiled.f0_track.f0_hz[i] = in_note ? how.track * f0_hz : f0_hz;
      candidates.push_back({spoiled.f0_track.f0_hz[i], peak});
      if (in_note) candidates.push_back({how.other * f0_hz, peak - how.weaker_by});
    }
    spoiled.evidence.first_candidate.push_back(static_cast<std::uint32_t>(candidates.size()));
  }
  return spoiled;
}

/// Harmonics one to four of the notes sung, those that are odd with amplitude `odd` and the others 1.
Samples harmonics_of(const std::vector<Sounding>& sung, double factor, double odd) {
  std::vector<float> values(static_cast<std::size_t>(13 * Samples::rate_hz));
  for (const auto& note : sung)
    for (double t = note.onset_s; t < note.end_s; t += 1.0 / Samples::rate_hz)
      for (int k = 1; k <= 4; ++k)
        values[static_cast<std::size_t>(t * Samples::rate_hz)] += static_cast<float>(
            0.1 * (k % 2 ? odd : 1) * std::sin(2 * std::numbers::pi * k * factor * note.hz * (t - note.onset_s)));
  return Samples(std::move(values));
}

/// Ratio of the decoded pitch of note 8 to its true pitch, after spoil(). `samples`: of the take, if it has any.
double pitch_after(const Spoilt& how, const Samples* samples = nullptr) {
  const Melody melody = two_phrases();
  const auto sung = sing_exactly(melody, 1.0, 0.5);
  const Ideal spoiled = spoil(ideal_evidence(sung, 13), sung, how);
  Observations observed = spoiled;
  observed.samples = samples;
  const Decoded decoded = decode_melody(observed, melody);
  REQUIRE(order_of(decoded) == all_sixteen);
  const DecodedNote& note = decoded.notes[spoiled_note];
  CHECK(decoded.f0_hz[frame_at(note.onset_s + 0.2)] == doctest::Approx(note.coarse_hz).epsilon(1e-4));
  return note.coarse_hz / sung[spoiled_note].hz;
}

}  // namespace

TEST_CASE("a note sung an octave high stays there, though twice its period is as strong") {
  CHECK(pitch_after({.track = 2, .other = 1, .weaker_by = 0.05F}) == doctest::Approx(2).epsilon(1e-4));
  CHECK(pitch_after({.track = 2, .other = 1, .weaker_by = -0.05F}) == doctest::Approx(2).epsilon(1e-4));
  CHECK(pitch_after({.track = 1, .other = 2, .weaker_by = 0.05F}) == doctest::Approx(2).epsilon(1e-4));
}

TEST_CASE("a note with odd harmonics is not an octave higher") {
  CHECK(pitch_after({.track = 2, .other = 1, .weaker_by = -0.13F}) == doctest::Approx(1).epsilon(1e-4));
  CHECK(pitch_after({.track = 1, .other = 2, .weaker_by = 0.13F}) == doctest::Approx(1).epsilon(1e-4));
}

TEST_CASE("a note tracked a twelfth high moves to the candidate at its written pitch where that is nearly as strong") {
  CHECK(pitch_after({.track = 3, .other = 1, .weaker_by = 0.05F}) == doctest::Approx(1).epsilon(1e-4));
  CHECK(pitch_after({.track = 3, .other = 1, .weaker_by = 0.2F}) == doctest::Approx(3).epsilon(1e-4));
}

TEST_CASE("a note tracked below moves up to a weaker candidate, as where a room holds the note before") {
  CHECK(pitch_after({.track = 0.25F, .other = 1, .weaker_by = 0.2F}) == doctest::Approx(1).epsilon(1e-4));
  CHECK(pitch_after({.track = 0.5F, .other = 1, .weaker_by = 0.2F}) == doctest::Approx(1).epsilon(1e-4));
  CHECK(pitch_after({.track = 0.5F, .other = 1, .weaker_by = 0.4F}) ==
        doctest::Approx(0.5).epsilon(1e-4));  // sung an octave low
}

TEST_CASE("a note tracked below stays where its first harmonic sounds, but not if many notes have one there") {
  const auto sung = sing_exactly(two_phrases(), 1.0, 0.5);
  const Samples with_first = harmonics_of(sung, 0.5, 0.5), without = harmonics_of(sung, 0.5, 0);
  const Spoilt one{.track = 0.5F, .other = 1, .weaker_by = 0.2F};
  CHECK(pitch_after(one, &with_first) == doctest::Approx(0.5).epsilon(1e-4));
  CHECK(pitch_after(one, &without) == doctest::Approx(1).epsilon(1e-4));
  Spoilt four = one;  // of sixteen: an accompaniment an octave below
  four.end = four.first + 4;
  CHECK(pitch_after(four, &with_first) == doctest::Approx(1).epsilon(1e-4));
}
