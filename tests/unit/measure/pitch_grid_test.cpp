// Where the notes of a take without a melody lie between the semitones, or on a scale. The truth is that of invented
// takes: a known line over time, scattered notes, wrong notes.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "measure/measure.hpp"

using namespace firmus;

namespace {

const PitchGrid semitones{0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100};
const PitchGrid g_major{0, 200, 400, 600, 700, 900, 1100};  // C D E F# G A B
constexpr int up_and_down[] = {67, 69, 71, 72, 74, 76, 78, 79, 78, 76, 74, 72, 71, 69, 67};

double spread(std::mt19937& engine, double cents) {  // Box and Muller 1958
  const auto uniform = [&] { return (static_cast<double>(engine()) + 0.5) / 4294967296.0; };
  return cents * std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::numbers::pi * uniform());
}

/// The scale, a note a second, against a line from `first_cents` to `last_cents`.
std::vector<GridNote> sung_scale(double first_cents, double last_cents, double spread_cents, unsigned seed) {
  std::mt19937 engine(seed);
  std::vector<GridNote> notes;
  for (int i = 0; i < 15; ++i)
    notes.push_back({static_cast<double>(i), 100.0 * (up_and_down[i] - 12) + first_cents +
                                                 (last_cents - first_cents) * i / 14 + spread(engine, spread_cents)});
  return notes;
}

}  // namespace

TEST_CASE("the centre and the drift of a scale are found, at A4 = 452 Hz and sinking by 60 cents") {
  const double centre = 1200 * std::log2(452.0 / 440);
  int right = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const GridFit fit = fit_pitch_grid(sung_scale(centre + 30, centre - 30, 8, seed), semitones, 50);
    right += fit.clear && std::abs(fit.centre_cents - centre) < 6 && std::abs(fit.at(0) - fit.at(14) - 60) < 20;
  }
  CHECK(right >= 38);
}

TEST_CASE("a single wrong degree does not move the line") {
  auto notes = sung_scale(20, 20, 3, 5);
  notes[6].cents -= 100;
  notes[9].cents += 50;
  const GridFit fit = fit_pitch_grid(notes, g_major, 600);
  CHECK(fit.centre_cents == doctest::Approx(20).epsilon(0.2));
  CHECK(std::abs(fit.drift_cents_per_s * 14) < 12);
}

TEST_CASE("a scale sung in another key is that key, not one of wrong degrees") {
  for (const double semitone : {-5.0, -2.0, -1.0, 1.0, 3.0}) {
    CAPTURE(semitone);
    const GridFit fit = fit_pitch_grid(sung_scale(100 * semitone, 100 * semitone, 5, 9), g_major, 600);
    CHECK(std::abs(fit.centre_cents - 100 * semitone) < 5);
  }
}

TEST_CASE("of notes that lie anywhere no centre is clear, in 95 takes of 100") {
  std::mt19937 engine(3);
  int clear = 0;
  for (int take = 0; take < 100; ++take) {
    std::vector<GridNote> notes;
    for (int i = 0; i < 30; ++i)
      notes.push_back({static_cast<double>(i), 4800 + static_cast<double>(engine() % 120000) / 100});
    clear += fit_pitch_grid(notes, semitones, 50).clear;
  }
  CHECK(clear <= 11);  // three standard errors above 5
}

TEST_CASE("no notes and one note have a line too") {
  CHECK_FALSE(fit_pitch_grid({}, semitones, 50).clear);
  const std::vector<GridNote> one{{1.0, 4830}};
  const GridFit fit = fit_pitch_grid(one, semitones, 50);
  CHECK(std::abs(fit.centre_cents - 30) <= 1);
  CHECK(fit.drift_cents_per_s == 0);
}
