#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "evidence/evidence.hpp"
#include "filtered_frames.hpp"
#include "firmus/theory.hpp"
#include "pitch_candidates.hpp"
#include "synth.hpp"

using namespace firmus;
using namespace firmus::evidence;

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
    CHECK(std::abs(cents_between(Hertz(hz), Hertz(found.front().f0_hz))) < within_cents);
    CHECK(found.front().nsdf_peak > 0.85F);
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
    CHECK(std::abs(cents_between(Hertz(195.9977), Hertz(first.front().f0_hz))) < 2);
    CHECK(std::abs(cents_between(Hertz(311.127), Hertz(second.front().f0_hz))) < 3);
    CHECK(second.front().nsdf_peak == doctest::Approx(candidates.find(quiet).front().nsdf_peak).epsilon(1e-3));
  }
}

TEST_CASE(
    "a frame holds at most seven candidates, and a high note is among them though many multiples of its period are") {
  PitchCandidates candidates({30, 2800});
  const auto& found = candidates.find(harmonic_frame(1318.51, candidates.frame_samples()));
  CHECK(found.size() == 7);
  CHECK(std::ranges::any_of(
      found, [](const auto& c) { return std::abs(cents_between(Hertz(1318.51), Hertz(c.f0_hz))) < 15; }));
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

TEST_CASE("a block in the middle is filtered as if all before it had been") {
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
  const auto one = gather_evidence(sound.samples(), {90, 1100}, 1);
  const auto three = gather_evidence(sound.samples(), {90, 1100}, 3);
  REQUIRE(one.frames() > 2048);
  CHECK(one.first_candidate == three.first_candidate);
  CHECK(std::ranges::equal(one.candidates, three.candidates, [](const auto& a, const auto& b) {
    return a.f0_hz == b.f0_hz && a.nsdf_peak == b.nsdf_peak;
  }));
  CHECK(one.level_db == three.level_db);
}

TEST_CASE("floor and top of a take are those of its singing, whatever lies behind") {
  const Samples sound = synth::render({note_of(220, 1), note_of(247, 1), note_of(262, 1)}, 5).samples();
  std::vector<float> values(static_cast<std::size_t>(sound.size()));
  sound.read(0, values);
  values.resize(values.size() + 6400);  // 0.4 s
  const auto alone = gather_evidence(Samples(values), {90, 1100});
  for (const float behind : {0.0F, 0.0005F}) {
    std::vector<float> longer = values;
    for (int i = 0; i < 12 * Samples::rate_hz; ++i) longer.push_back(i % 7 < 3 ? behind : -behind);
    const auto padded = gather_evidence(Samples(longer), {90, 1100});
    CHECK(padded.floor_db == alone.floor_db);
    CHECK(padded.top_db == alone.top_db);
  }
}

TEST_CASE("the range estimated from the sound brackets a bass and a violin by more than an octave either way") {
  const auto bass = estimate_pitch_range(synth::render({plain_note(41.2, 2)}, 1).samples());
  CHECK(bass.lowest_hz <= 30.0);
  CHECK(bass.highest_hz > 82.4);
  CHECK(bass.highest_hz < 200);
  const auto violin = estimate_pitch_range(synth::render({plain_note(1318.5, 2)}, 1).samples());
  CHECK(violin.lowest_hz < 660);
  CHECK(violin.lowest_hz > 200);
  CHECK(violin.highest_hz > 2637);
}

TEST_CASE("the range for a melody holds it two octaves higher and lower, within what is searched at all") {
  const PitchRange voice = search_range_of(read_melody("C4 G4 C5", "m"));  // 261.63 to 523.25 Hz
  CHECK(voice.lowest_hz < 65.4);
  CHECK(voice.lowest_hz > 55);
  CHECK(voice.highest_hz > 2093);
  CHECK(voice.highest_hz < 2500);
  const PitchRange bass = search_range_of(read_melody("E1", "m"));
  CHECK(bass.lowest_hz == 30);
  CHECK(bass.highest_hz > 164.8);
  CHECK(bass.highest_hz < 200);
  CHECK(search_range_of(read_melody("E7", "m")).highest_hz == 2800);
}

TEST_CASE("two octaves under a melody a pitch is found in frames that are no longer than an octave under it needs") {
  const PitchRange range = search_range_of(read_melody("C4 G4 C5", "m"));
  CHECK(PitchCandidates(range).frame_samples() == 768);  // 48 ms, the least
  const auto sound = synth::render({plain_note(62, 1)}, 1);
  const auto gathered = gather_evidence(sound.samples(), range);
  CHECK(gathered.at(100).front().f0_hz == doctest::Approx(62).epsilon(0.002));
}

TEST_CASE("the share of a sinusoid in the sound is its power in that of all harmonics") {
  // Harmonics of 200 Hz with amplitudes 2, 3 and 1: powers 4, 9 and 1 of 14.
  std::vector<float> values(8000);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double phase = 2 * std::numbers::pi * 200 * static_cast<double>(i) / Samples::rate_hz;
    values[i] = static_cast<float>(0.1 * (2 * std::sin(phase) + 3 * std::sin(2 * phase + 1) + std::sin(3 * phase + 2)));
  }
  const Samples samples(values);
  CHECK(share_of_sinusoid(samples, 50, 200) == doctest::Approx(4.0 / 14).epsilon(0.01));
  CHECK(share_of_sinusoid(samples, 50, 100) < 0.001);
  CHECK(share_of_sinusoid(Samples(std::vector<float>(8000)), 50, 100) == 0);
}
