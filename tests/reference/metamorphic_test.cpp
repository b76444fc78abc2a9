// The same take, shifted by exactly 30 cents: every concert error moves by 30, the own and interval errors stay.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <numbers>

#include "against_truth.hpp"
#include "sound_files.hpp"

using namespace firmus;
using namespace firmus::reference;
using namespace firmus::support;

namespace {

constexpr double shift_cents = 30;

// Plays the samples faster by `cents`, with a windowed sinc of 32 zero crossings either side.
std::vector<float> resampled(const std::vector<float>& samples, double cents) {
  const double speed = std::exp2(cents / 1200);
  constexpr int reach = 32;
  const auto count = static_cast<std::int64_t>(samples.size());
  std::vector<float> out(static_cast<std::size_t>(static_cast<double>(count) / speed));
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double at = static_cast<double>(i) * speed;
    const auto centre = static_cast<std::int64_t>(at);
    double sum = 0;
    for (std::int64_t j = std::max<std::int64_t>(0, centre - reach); j < std::min(count, centre + reach); ++j) {
      const double x = (at - static_cast<double>(j)) / speed;  // the cut-off stays under the new Nyquist
      const double window =
          0.5 + 0.5 * std::cos(std::numbers::pi * std::clamp((at - static_cast<double>(j)) / reach, -1.0, 1.0));
      const double sinc = std::abs(x) < 1e-9 ? 1 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
      sum += samples[static_cast<std::size_t>(j)] * window * sinc / speed;
    }
    out[i] = static_cast<float>(sum);
  }
  return out;
}

std::vector<float> sung_harbour(const Melody& melody) {
  singer::Plan plan;
  plan.seed = 301;
  plan.note_spread_cents = 12;
  return singer::sing(melody, plan).samples;
}

void check_shifted(const Result& before, const Result& after, double tolerance_cents) {
  int compared = 0;
  for (const NoteResult& note : before.notes) {
    if (!note.index || note.status != NoteStatus::sung || !note.errors.concert_cents) continue;
    const NoteErrors& moved = sung_note(after, *note.index).errors;
    CAPTURE(*note.index);
    REQUIRE(moved.concert_cents.has_value());
    CHECK(std::abs(*moved.concert_cents - *note.errors.concert_cents - shift_cents) <= tolerance_cents);
    CHECK(std::abs(moved.own_cents.value() - note.errors.own_cents.value()) <= tolerance_cents);
    CHECK(moved.interval_cents.has_value() == note.errors.interval_cents.has_value());
    if (note.errors.interval_cents) {
      CHECK(std::abs(moved.interval_cents.value() - *note.errors.interval_cents) <= 2 * tolerance_cents);
    }
    ++compared;
  }
  CHECK(compared == before.summary.written);
}

}  // namespace

TEST_CASE(
    "a take resampled to sound 30 cents higher has every concert error 30 cents higher and the others where they "
    "were") {
  const Melody melody = studio_melody("harbour");
  const std::vector<float> samples = sung_harbour(melody);
  const Result before = measure_samples(samples, melody);
  const Result after = measure_samples(resampled(samples, shift_cents), melody);
  check_shifted(before, after, 1.5);
  CHECK(after.centre_cents.value() - before.centre_cents.value() == doctest::Approx(shift_cents).epsilon(0.05));
}

TEST_CASE(
    "a take shifted by 30 cents with the rubberband program has every concert error 30 cents higher and the others "
    "where they were") {
  if (!program_is_there("rubberband")) {
    MESSAGE("not run: shift by rubberband: the program is not installed (rubberband-cli)");
    return;
  }
  const Melody melody = studio_melody("harbour");
  const std::vector<float> samples = sung_harbour(melody);
  const ScratchFolder scratch;
  write_wav(scratch.file("before.wav"), samples, singer::rate_hz);
  const std::string command = fmt::format("rubberband --fine --pitch {:.2f} --quiet '{}' '{}' >/dev/null 2>&1",
                                          shift_cents / 100, scratch.file("before.wav"), scratch.file("after.wav"));
  REQUIRE(std::system(command.c_str()) == 0);
  const Result before = measure_samples(samples, melody);
  const Result after = measure_take(read_recording(scratch.file("after.wav")), &melody, {});
  check_shifted(before, after, 3);
}
