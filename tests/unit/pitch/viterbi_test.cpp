#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "firmus/theory.hpp"
#include "pitch/pitch.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

synth::Note note_of(double pitch_hz, double length_s) {
  synth::Note note;
  note.pitch_hz = pitch_hz;
  note.length_s = length_s;
  return note;
}

synth::Note plain_note(double pitch_hz, double length_s) {
  synth::Note note = note_of(pitch_hz, length_s);
  note.timbre = synth::Timbre::plain;
  return note;
}

Samples white_noise(double seconds) {
  synth::Random random(5);
  std::vector<float> values(static_cast<std::size_t>(seconds * Samples::rate_hz));
  for (auto& value : values) value = static_cast<float>(0.1 * random.normal());
  return Samples(values);
}

double voiced_share(const CoarseF0Track& track) {
  const auto voiced = std::ranges::count_if(track.f0_hz, [](float hz) { return hz > 0; });
  return static_cast<double>(voiced) / static_cast<double>(track.f0_hz.size());
}

CoarseF0Track track_of(const Samples& samples, const PitchRange& range) {
  return viterbi_f0_track(gather_evidence(samples, range));
}

/// Loud frames with these candidates.
Evidence evidence_of(const std::vector<std::vector<PitchCandidate>>& frames, float level_db = -20) {
  Evidence evidence;
  evidence.floor_db = -70;
  evidence.top_db = -20;
  evidence.first_candidate.push_back(0);
  for (const auto& candidates : frames) {
    evidence.candidates.insert(evidence.candidates.end(), candidates.begin(), candidates.end());
    evidence.first_candidate.push_back(static_cast<std::uint32_t>(evidence.candidates.size()));
    evidence.level_db.push_back(level_db);
  }
  return evidence;
}

}  // namespace

TEST_CASE("no frames give no track, and frames without candidates are unvoiced") {
  CHECK(viterbi_f0_track(evidence_of({})).f0_hz.empty());
  CHECK(viterbi_f0_track(evidence_of({{}, {}})).f0_hz == std::vector<float>{0, 0});
}

TEST_CASE("a single frame whose octave has the higher peak stays with its neighbours") {
  const std::vector<PitchCandidate> plain{{220, 0.9F}, {440, 0.6F}}, odd{{440, 0.95F}, {220, 0.8F}};
  const CoarseF0Track track = viterbi_f0_track(evidence_of({plain, plain, odd, plain, plain}));
  CHECK(track.f0_hz == std::vector<float>(5, 220));
  CHECK(track.nsdf_peak == std::vector<float>{0.9F, 0.9F, 0.8F, 0.9F, 0.9F});
}

TEST_CASE("a leap that lasts is followed") {
  const std::vector<PitchCandidate> low{{220, 0.9F}, {440, 0.6F}}, high{{440, 0.95F}, {220, 0.6F}};
  std::vector<std::vector<PitchCandidate>> frames(10, low);
  frames.resize(20, high);
  std::vector<float> expected(10, 220);
  expected.resize(20, 440);
  CHECK(viterbi_f0_track(evidence_of(frames)).f0_hz == expected);
}

TEST_CASE("the same peaks are voiced in loud frames and unvoiced at the noise floor") {
  const std::vector<std::vector<PitchCandidate>> frames(10, {{330, 0.7F}});
  CHECK(voiced_share(viterbi_f0_track(evidence_of(frames, -20))) == 1);
  CHECK(voiced_share(viterbi_f0_track(evidence_of(frames, -70))) == 0);
}

TEST_CASE("a sung note is voiced throughout, on its octave, and white noise is not voiced") {
  const auto sound = synth::render({note_of(220, 2)}, 3);
  const CoarseF0Track track = track_of(sound.samples(), {90, 1100});
  std::size_t right = 0, frames = 0;
  for (std::size_t i = 30; i < 410; ++i, ++frames)
    right += std::abs(cents_between(Hertz(220), Hertz(std::max(1.0F, track.f0_hz[i])))) < 20;
  CHECK(right == frames);
  CHECK(voiced_share(track_of(white_noise(10), {90, 1100})) < 0.02);
}

TEST_CASE("a tone without a pause is voiced throughout, in noise 10 dB below it too") {
  for (const double hz : {41.2, 110.0, 880.0}) {
    auto sound = synth::render({plain_note(hz, 2)}, 4, 0.0);
    synth::add_noise(sound, 10, 6);
    const CoarseF0Track track = track_of(sound.samples(), {std::max(30.0, hz / 2.3), hz * 2.3});
    CAPTURE(hz);
    for (std::size_t i = 30; i < 370; ++i)
      CHECK(std::abs(cents_between(Hertz(hz), Hertz(std::max(1.0F, track.f0_hz[i])))) < 50);
  }
}

TEST_CASE("a bass note keeps its pitch through a vibrato that moves it by 4 percent a period") {
  for (const double hz : {41.2, 65.4}) {
    synth::Note note = note_of(hz, 2);
    note.vibrato_hz = 5.5;
    note.vibrato_cents = 80;
    const auto sound = synth::render({note}, 8);
    const CoarseF0Track track = track_of(sound.samples(), {30, 2800});
    CAPTURE(hz);
    for (std::size_t i = 50; i < 390; ++i)
      CHECK(std::abs(cents_between(Hertz(sound.f0_hz[i]), Hertz(std::max(1.0F, track.f0_hz[i])))) < 100);
  }
}
