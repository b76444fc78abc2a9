// A result names the octave in which a note sounds: a single note an octave off, a verse an octave lower, a
// melody whistled two octaves higher. Simulated singers and whistles.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "against_truth.hpp"
#include "synth.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

const singer::SungNote& truth_of(const singer::Performance& performance, int index) {
  for (const singer::SungNote& note : performance.notes)
    if (note.written == index) return note;
  throw std::runtime_error("not sung");
}

double cents_from_truth(const Result& result, const singer::Performance& performance, int index) {
  return cents_between(Hertz(truth_of(performance, index).sung_hz),
                       Hertz(sung_note(result, index).sung_hz.value_or(1)));
}

/// A melody whistled: sines with 40 ms rises, `octaves` higher than written, quarters of 0.5 s, in a quiet room.
std::vector<float> whistled(const Melody& melody, int octaves) {
  synth::Random random(5);
  const double lead_s = 0.7, quarter_s = 0.5, rise_s = 0.04;
  const WrittenNote& last = melody.notes.back();
  const double end_s = lead_s + (last.onset_quarters + last.length_quarters).value() * quarter_s + 0.7;
  std::vector<float> samples(static_cast<std::size_t>(end_s * singer::rate_hz));
  for (float& sample : samples) sample = static_cast<float>(0.0003 * random.normal());
  for (const WrittenNote& note : melody.notes) {
    const auto begin = static_cast<std::size_t>((lead_s + note.onset_quarters.value() * quarter_s) * singer::rate_hz);
    const double length_s = 0.9 * note.length_quarters.value() * quarter_s;
    const double hz = note.target_hz.value() * std::exp2(octaves);
    for (std::size_t i = 0; i < static_cast<std::size_t>(length_s * singer::rate_hz); ++i) {
      const double t = static_cast<double>(i) / singer::rate_hz;
      const double level = std::min({1.0, t / rise_s, (length_s - t) / rise_s});
      samples[begin + i] += static_cast<float>(0.2 * level * std::sin(2 * std::numbers::pi * hz * t));
    }
  }
  return samples;
}

}  // namespace

TEST_CASE("one note an octave too high or too low is another note at the pitch that sounds, and no other changes") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    const Melody melody = studio_melody(name);
    for (const double cents : {1200.0, -1200.0}) {
      for (const int index : {5, 12}) {
        CAPTURE(name);
        CAPTURE(cents);
        CAPTURE(index);
        singer::Plan plan;
        plan.seed = 111;
        plan.note_cents[index] = cents;
        const singer::Performance performance = singer::sing(melody, plan);
        const Result result = measure_samples(performance.samples, melody);
        CHECK(std::abs(cents_from_truth(result, performance, index)) < 20);
        CHECK(sung_note(result, index).verdict == Verdict::other_note);
        CHECK(result.summary.other_note == 1);
        CHECK(result.summary.missing == 0);
        CHECK(result.summary.extra == 0);
      }
    }
  }
}

TEST_CASE("where many notes sound an octave away the recording has a warning") {
  const auto warned = [](int every) {
    const Melody melody = studio_melody("mill");
    singer::Plan plan;
    plan.seed = 113;
    for (int i = 2; i < static_cast<int>(melody.notes.size()); i += every) plan.note_cents[i] = 1200;
    const Result result = measure_samples(singer::sing(melody, plan).samples, melody);
    return std::ranges::any_of(result.signal_quality.warnings, [](const RecordingWarning& warning) {
      return warning.kind == RecordingFault::second_voice && warning.detail.find("octave") != std::string::npos;
    });
  };
  CHECK(warned(6));
  CHECK(warned(12));  // 4 of 40
  CHECK_FALSE(warned(19));
}

TEST_CASE("the second verse an octave lower is the same try in another key, told once") {
  const Melody melody = read_melody(
      "key: G major\nmeter: 4/4\ntempo: 120\norder: A A\nsection: A\n"
      "G4 B4 D5 B4 | C5 A4 F#4:2 , | G4 A4 B4 C5 | D5 B4 G4:2",
      "two verses");
  const int verse = static_cast<int>(melody.notes.size()) / 2;
  singer::Plan plan;
  plan.seed = 112;
  plan.key_changes = {{verse, -12}};
  const singer::Performance performance = singer::sing(melody, plan);
  const Result result = measure_samples(performance.samples, melody);
  CHECK(result.attempts.size() == 1);
  CHECK(result.summary.missing == 0);
  CHECK(result.summary.extra == 0);
  CHECK(result.summary.other_note == 0);
  REQUIRE(result.key_segments.size() == 2);
  CHECK(result.key_segments[1].from_index == verse);
  CHECK(result.key_segments[1].transposition_semitones - result.key_segments[0].transposition_semitones == -12);
  for (int i = 0; i < 2 * verse; ++i) {
    CAPTURE(i);
    CHECK(std::abs(cents_from_truth(result, performance, i)) < 20);
  }
}

TEST_CASE("a melody whistled two octaves higher is tracked in its own octave") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    const Melody melody = studio_melody(name);
    const Result result = measure_samples(whistled(melody, 2), melody);
    CHECK(result.transposition_semitones == 24);
    CHECK(result.summary.missing == 0);
    for (const WrittenNote& note : melody.notes) {
      CAPTURE(note.index);
      const double sounds_hz = 4 * note.target_hz.value();
      CHECK(std::abs(cents_between(Hertz(sounds_hz), Hertz(sung_note(result, note.index).sung_hz.value_or(1)))) < 20);
    }
  }
}
