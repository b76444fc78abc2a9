#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "firmus/evidence.hpp"
#include "firmus/theory.hpp"
#include "onset_net.hpp"
#include "pitch_candidates.hpp"
#include "rumble_filter.hpp"
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

std::vector<float> harmonic_frame(double hz, int count) {
  std::vector<float> frame(static_cast<std::size_t>(count));
  for (std::size_t i = 0; i < frame.size(); ++i)
    for (int h = 1; h <= 6 && h * hz < 7500; ++h)
      frame[i] += static_cast<float>(
          0.2 / h * std::sin(2 * std::numbers::pi * h * hz * static_cast<double>(i) / Samples::rate_hz + h));
  return frame;
}

Samples white_noise(double seconds) {
  synth::Random random(5);
  std::vector<float> values(static_cast<std::size_t>(seconds * Samples::rate_hz));
  for (auto& value : values) value = static_cast<float>(0.1 * random.normal());
  return Samples(values);
}

double voiced_share(const Evidence& evidence) {
  std::size_t voiced = 0;
  for (std::size_t i = 0; i < evidence.frames(); ++i) voiced += evidence.voiced(i);
  return static_cast<double>(voiced) / static_cast<double>(evidence.frames());
}

}  // namespace

TEST_CASE(
    "the strongest candidate of a steady harmonic frame is its pitch, from double bass to the top of the violin") {
  // Equal-tempered frequencies of E1, E2, G3, C6 and E7 at A4 = 440 Hz (closed form). The lag grid is coarse at the
  // top.
  const struct {
    double hz, within_cents;
  } notes[] = {{41.2034, 3}, {82.4069, 2}, {195.9977, 2}, {1046.5023, 8}, {2637.0205, 30}};
  for (const auto& [hz, within_cents] : notes) {
    PitchCandidates candidates({hz / 2.3, std::min(2800.0, hz * 2.3)});
    std::vector<PitchCandidate> found;
    candidates.find(harmonic_frame(hz, candidates.frame_samples()), found);
    REQUIRE(!found.empty());
    CAPTURE(hz);
    CHECK(std::abs(cents_between(hz, found.front().f0_hz)) < within_cents);
    CHECK(found.front().strength > 0.85F);
  }
}

TEST_CASE("a frame of digital silence has no candidates") {
  PitchCandidates candidates({80, 1000});
  std::vector<PitchCandidate> found;
  candidates.find(std::vector<float>(static_cast<std::size_t>(candidates.frame_samples())), found);
  CHECK(found.empty());
}

TEST_CASE(
    "a frame holds at most seven candidates, and a high note is among them though many multiples of its period are") {
  PitchCandidates candidates({30, 2800});
  std::vector<PitchCandidate> found;
  candidates.find(harmonic_frame(1318.51, candidates.frame_samples()), found);
  CHECK(found.size() == 7);
  CHECK(std::ranges::any_of(found, [](const auto& c) { return std::abs(cents_between(1318.51, c.f0_hz)) < 15; }));
}

TEST_CASE("frames are centred on their time and rumble below the lowest pitch is taken off") {
  std::vector<float> click(16000);
  click[1600] = 1;  // 0.1 s
  const Samples samples(click);
  FilteredFrames frames(samples, 100, 800, 80);
  std::size_t count = 0, loudest = 0;
  float most = 0;
  while (const auto frame = frames.next()) {
    if (std::abs((*frame)[400]) > most) {
      most = std::abs((*frame)[400]);
      loudest = count;
    }
    ++count;
  }
  CHECK(loudest == 20);  // frame 20 is centred on 0.1 s
  CHECK(count == 201);   // 0 to 1 s
  CHECK(most > 0.9F);
  const auto level_of = [](double hz) {
    std::vector<float> tone(16000);
    for (std::size_t i = 0; i < tone.size(); ++i)
      tone[i] = static_cast<float>(std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / 16000));
    const Samples tone_samples(tone);
    FilteredFrames filtered(tone_samples, 100, 1600, 1600);
    std::vector<float> last;
    while (const auto frame = filtered.next()) last.assign(frame->begin(), frame->begin() + 800);
    double energy = 0;
    for (const float value : last) energy += value * value;
    return 10 * std::log10(energy / 400);
  };
  // Butterworth, second order, corner 50 Hz: 20 Hz is down by 10 log10(1 + (50/20)^4) = 16.0 dB, 200 Hz by 0.02 dB.
  CHECK(level_of(20) == doctest::Approx(-16.0).epsilon(0.05));
  CHECK(std::abs(level_of(200)) < 0.1);
}

TEST_CASE("a sung note is voiced throughout, on its octave, and white noise is not voiced") {
  const auto sound = synth::render({note_of(220, 2)}, 3);
  const Evidence evidence = gather_evidence(sound.samples(), {90, 1100}, *default_onset_net());
  std::size_t right = 0, frames = 0;
  for (std::size_t i = 30; i < 410; ++i, ++frames)
    right += std::abs(cents_between(220, std::max(1.0F, evidence.line_hz[i]))) < 20;
  CHECK(right == frames);
  CHECK(voiced_share(gather_evidence(white_noise(10), {90, 1100}, *default_onset_net())) < 0.02);
}

TEST_CASE("the look for the range brackets a bass and a violin by more than an octave either way") {
  const auto bass = look_for_range(synth::render({plain_note(41.2, 2)}, 1).samples());
  CHECK(bass.lowest_hz <= 30.0);
  CHECK(bass.highest_hz > 82.4);
  CHECK(bass.highest_hz < 200);
  const auto violin = look_for_range(synth::render({plain_note(1318.5, 2)}, 1).samples());
  CHECK(violin.lowest_hz < 660);
  CHECK(violin.lowest_hz > 200);
  CHECK(violin.highest_hz > 2637);
}
