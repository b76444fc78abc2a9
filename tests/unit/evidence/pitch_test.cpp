#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "evidence/evidence.hpp"
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
    const auto& found = candidates.find(harmonic_frame(hz, candidates.frame_samples()));
    REQUIRE(!found.empty());
    CAPTURE(hz);
    CHECK(std::abs(cents_between(hz, found.front().f0_hz)) < within_cents);
    CHECK(found.front().strength > 0.85F);
  }
}

TEST_CASE("a frame of digital silence has no candidates") {
  PitchCandidates candidates({80, 1000});
  CHECK(candidates.find(std::vector<float>(static_cast<std::size_t>(candidates.frame_samples()))).empty());
}

TEST_CASE("of two frames each gets its own candidates, however unequal they are") {
  PitchCandidates candidates({80, 1000});
  const std::vector<float> loud = harmonic_frame(195.9977, candidates.frame_samples());  // G3
  for (const float share : {1.0F, 1e-2F, 1e-5F}) {
    std::vector<float> quiet = harmonic_frame(311.127, candidates.frame_samples());  // E flat 4
    for (float& value : quiet) value *= share;
    CAPTURE(share);
    const auto [first, second] = candidates.find(loud, quiet);
    REQUIRE(!first.empty());
    REQUIRE(!second.empty());
    CHECK(std::abs(cents_between(195.9977, first.front().f0_hz)) < 2);
    CHECK(std::abs(cents_between(311.127, second.front().f0_hz)) < 3);
    CHECK(second.front().strength == doctest::Approx(candidates.find(quiet).front().strength).epsilon(1e-3));
  }
}

TEST_CASE(
    "a frame holds at most seven candidates, and a high note is among them though many multiples of its period are") {
  PitchCandidates candidates({30, 2800});
  const auto& found = candidates.find(harmonic_frame(1318.51, candidates.frame_samples()));
  CHECK(found.size() == 7);
  CHECK(std::ranges::any_of(found, [](const auto& c) { return std::abs(cents_between(1318.51, c.f0_hz)) < 15; }));
}

TEST_CASE("frames are centred on their time and rumble below the lowest pitch is taken off") {
  std::vector<float> click(16000);
  click[1600] = 1;  // 0.1 s
  const Samples samples(click);
  FilteredFrames frames(100, 800, 80);
  const std::int64_t count = FilteredFrames::count(samples, 80);
  frames.load(samples, 0, count);
  std::int64_t loudest = 0;
  float most = 0;
  for (std::int64_t i = 0; i < count; ++i)
    if (std::abs(frames.at(i)[400]) > most) {
      most = std::abs(frames.at(i)[400]);
      loudest = i;
    }
  CHECK(loudest == 20);  // frame 20 is centred on 0.1 s
  CHECK(count == 201);   // 0 to 1 s
  CHECK(most > 0.9F);
  const auto level_of = [](double hz) {
    std::vector<float> tone(16000);
    for (std::size_t i = 0; i < tone.size(); ++i)
      tone[i] = static_cast<float>(std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / 16000));
    const Samples tone_samples(tone);
    FilteredFrames filtered(100, 1600, 1600);
    filtered.load(tone_samples, 0, 11);
    const auto last = filtered.at(10).first(800);
    double energy = 0;
    for (const float value : last) energy += value * value;
    return 10 * std::log10(energy / 400);
  };
  // Butterworth, second order, corner 50 Hz: 20 Hz is down by 10 log10(1 + (50/20)^4) = 16.0 dB, 200 Hz by 0.02 dB.
  CHECK(level_of(20) == doctest::Approx(-16.0).epsilon(0.05));
  CHECK(std::abs(level_of(200)) < 0.1);
}

TEST_CASE("a stretch in the middle is filtered as if all before it had been") {
  std::vector<float> tone(32000);
  for (std::size_t i = 0; i < tone.size(); ++i)
    tone[i] = 0.5F + 0.3F * static_cast<float>(std::sin(2 * std::numbers::pi * 150 * static_cast<double>(i) / 16000));
  const Samples samples(tone);
  FilteredFrames whole(60, 800, 80), part(60, 800, 80);
  whole.load(samples, 0, 400);
  part.load(samples, 200, 3);
  for (std::int64_t frame = 200; frame < 203; ++frame)
    for (std::size_t i = 0; i < 800; i += 7) CHECK(std::abs(part.at(frame)[i] - whole.at(frame)[i]) < 2e-6F);
}

TEST_CASE("evidence is the same to the last bit whatever the number of threads") {
  std::vector<synth::Note> notes;
  for (int i = 0; i < 14; ++i) notes.push_back(note_of(180 + 20 * i, 1));  // over two blocks
  const auto sound = synth::render(notes, 5);
  const auto one = gather_evidence(sound.samples(), {90, 1100}, *default_onset_net(), 1);
  const auto three = gather_evidence(sound.samples(), {90, 1100}, *default_onset_net(), 3);
  REQUIRE(one.frames() > 2048);
  CHECK(one.first_candidate == three.first_candidate);
  CHECK(one.f0_track_hz == three.f0_track_hz);
  CHECK(one.level_db == three.level_db);
  CHECK(one.onset_logit == three.onset_logit);
  CHECK(one.offset_logit == three.offset_logit);
}

TEST_CASE("a sung note is voiced throughout, on its octave, and white noise is not voiced") {
  const auto sound = synth::render({note_of(220, 2)}, 3);
  const Evidence evidence = gather_evidence(sound.samples(), {90, 1100}, *default_onset_net());
  std::size_t right = 0, frames = 0;
  for (std::size_t i = 30; i < 410; ++i, ++frames)
    right += std::abs(cents_between(220, std::max(1.0F, evidence.f0_track_hz[i]))) < 20;
  CHECK(right == frames);
  CHECK(voiced_share(gather_evidence(white_noise(10), {90, 1100}, *default_onset_net())) < 0.02);
}

TEST_CASE("a tone without a pause is voiced throughout, in noise 10 dB below it too") {
  for (const double hz : {41.2, 110.0, 880.0}) {
    auto sound = synth::render({plain_note(hz, 2)}, 4, 0.0);
    synth::add_noise(sound, 10, 6);
    const Evidence evidence =
        gather_evidence(sound.samples(), {std::max(30.0, hz / 2.3), hz * 2.3}, *default_onset_net());
    CAPTURE(hz);
    for (std::size_t i = 30; i < 370; ++i)
      CHECK(std::abs(cents_between(hz, std::max(1.0F, evidence.f0_track_hz[i]))) < 50);
  }
}

TEST_CASE("a bass note keeps its pitch through a vibrato that moves it by 4 percent a period") {
  for (const double hz : {41.2, 65.4}) {
    synth::Note note = note_of(hz, 2);
    note.vibrato_hz = 5.5;
    note.vibrato_cents = 80;
    const auto sound = synth::render({note}, 8);
    const Evidence evidence = gather_evidence(sound.samples(), {30, 2800}, *default_onset_net());
    CAPTURE(hz);
    for (std::size_t i = 50; i < 390; ++i)
      CHECK(std::abs(cents_between(sound.f0_hz[i], std::max(1.0F, evidence.f0_track_hz[i]))) < 100);
  }
}

TEST_CASE("the look for the range brackets a bass and a violin by more than an octave either way") {
  const auto bass = estimate_pitch_range(synth::render({plain_note(41.2, 2)}, 1).samples());
  CHECK(bass.lowest_hz <= 30.0);
  CHECK(bass.highest_hz > 82.4);
  CHECK(bass.highest_hz < 200);
  const auto violin = estimate_pitch_range(synth::render({plain_note(1318.5, 2)}, 1).samples());
  CHECK(violin.lowest_hz < 660);
  CHECK(violin.lowest_hz > 200);
  CHECK(violin.highest_hz > 2637);
}
