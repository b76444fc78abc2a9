#include <doctest/doctest.h>

#include <cmath>

#include "measure/measure.hpp"
#include "synth.hpp"

using namespace firmus;

namespace {

constexpr double note_s = 0.6;

/// Notes of a simple melody, sung with an error of `cents(i)`.
template <class F>
std::vector<JudgedNote> take(int count, F cents) {
  static constexpr int tune[] = {0, 4, 7, 12, 9, 7, 5, 2};
  std::vector<JudgedNote> notes;
  for (int i = 0; i < count; ++i) {
    JudgedNote note;
    note.index = i;
    note.time_s = note_s * i;
    note.target_hz = 220 * std::exp2(tune[i % 8] / 12.0);
    note.sung_hz = note.target_hz * std::exp2(cents(i) / 1200.0);
    notes.push_back(note);
  }
  return notes;
}

/// Errors of amateurs: robust spread 31 cents, heavy tails (Student's t, 3 degrees), correlation 0.3 between
/// neighbours.
std::vector<double> amateur_errors(int count, std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<double> errors;
  double error = 0;
  for (int i = 0; i < count; ++i) {
    const double z = random.normal(), a = random.normal(), b = random.normal(), c = random.normal();
    error = 0.3 * error + 27 * std::sqrt(0.91) * z / std::sqrt((a * a + b * b + c * c) / 3);
    errors.push_back(error);
  }
  return errors;
}

double small(int i) {
  return (i * 7919 % 13) - 6.0;
}

/// Share of 200 simulated amateur takes in which `fits` holds; on seeds that the constants were not fitted on.
template <class Shift, class Fits>
double share(int count, Shift shift, Fits fits) {
  int good = 0;
  for (std::uint64_t seed = 20001; seed <= 20200; ++seed) {
    const auto errors = amateur_errors(count, seed);
    good += fits(fit_tuning_curve(take(count, [&](int i) { return errors[static_cast<std::size_t>(i)] + shift(i); })))
                ? 1
                : 0;
  }
  return good / 200.0;
}

}  // namespace

TEST_CASE("errors are told against concert, own centre and interval") {
  const TuningCurve line = fit_tuning_curve(take(4, [](int i) { return i == 2 ? -60.0 : 20.0; }));
  REQUIRE(line.errors.size() == 4);
  REQUIRE(line.key_segments.size() == 1);
  CHECK(line.transposition_semitones == 0);
  CHECK(line.centre_cents == doctest::Approx(20));
  CHECK(line.errors[0].concert_cents.value() == doctest::Approx(20));
  CHECK(line.errors[2].concert_cents.value() == doctest::Approx(-60));
  CHECK(line.errors[2].own_cents.value() == doctest::Approx(-80));
  CHECK(line.errors[1].own_cents.value() == doctest::Approx(0).epsilon(0.01));
  CHECK_FALSE(line.errors[0].interval_cents);
  CHECK(line.errors[1].interval_cents.value() == doctest::Approx(0).epsilon(0.01));
  CHECK(line.errors[2].interval_cents.value() == doctest::Approx(-80));
  CHECK(line.errors[3].interval_cents.value() == doctest::Approx(80));
}

TEST_CASE("a note sung in another octave changes nothing that is told of the others") {
  for (const double octaves : {1.0, -1.0}) {
    const auto errors = amateur_errors(24, 20300);
    const auto cents = [&](int i) { return errors[static_cast<std::size_t>(i)]; };
    const TuningCurve plain = fit_tuning_curve(take(24, cents));
    const TuningCurve slipped =
        fit_tuning_curve(take(24, [&](int i) { return cents(i) + (i == 11 ? 1200 * octaves : 0); }));
    REQUIRE(slipped.errors.size() == 24);
    for (std::size_t i = 0; i < 24; ++i) {
      const double more = i == 11 ? 1200 * octaves : 0;
      CHECK(slipped.errors[i].own_cents.value() == doctest::Approx(plain.errors[i].own_cents.value() + more));
    }
  }
}

TEST_CASE("no notes give no key segments, one note is its own centre") {
  CHECK(fit_tuning_curve({}).key_segments.empty());
  const TuningCurve one = fit_tuning_curve(take(1, [](int) { return 35.0; }));
  CHECK(one.errors[0].own_cents.value() == doctest::Approx(0).epsilon(0.01));
  CHECK(one.errors[0].concert_cents.value() == doctest::Approx(35));
  CHECK_FALSE(one.key_segments[0].drift_ci95);
}

TEST_CASE("transposition 0 or a whole octave is kept while the centre is within 60 cents of it") {
  struct Row {
    double centre;
    int transposition, octave;
    double left;
  };
  for (const Row& row : {Row{0, 0, 0, 0},
                         {59, 0, 0, 59},
                         {61, 1, 0, -39},
                         {-59, 0, 0, -59},
                         {-61, -1, 0, 39},
                         {-1200, -12, -12, 0},
                         {-1145, -12, -12, 55},
                         {-1120, -11, -12, -20},
                         {500, 5, 0, 0},
                         {600, 6, 0, 0},
                         {-600, -6, 0, 0},
                         {700, 7, 12, 0},
                         {1810, 18, 12, 10},
                         {-2400, -24, -24, 0}}) {
    CAPTURE(row.centre);
    const TuningCurve line = fit_tuning_curve(take(10, [&](int) { return row.centre; }));
    CHECK(line.transposition_semitones == row.transposition);
    CHECK(line.octave_semitones == row.octave);
    CHECK(line.centre_cents == doctest::Approx(row.left).epsilon(0.001));
    CHECK(line.errors[3].concert_cents.value() == doctest::Approx(row.centre - 100 * row.octave).epsilon(0.001));
    CHECK(std::abs(line.errors[3].own_cents.value()) < 0.001);
  }
}

TEST_CASE("the centre is a constant under 12 notes or 10 s, a line from there") {
  const auto sinking = [](int i) { return -2.0 * i; };
  CHECK_FALSE(fit_tuning_curve(take(11, sinking)).key_segments[0].drift_ci95);
  CHECK_FALSE(fit_tuning_curve(take(16, sinking)).key_segments[0].drift_ci95);  // 9 s
  const TuningCurve line = fit_tuning_curve(take(18, sinking));                 // 10.2 s
  REQUIRE(line.key_segments[0].drift_cents_per_minute);
  CHECK(*line.key_segments[0].drift_cents_per_minute == doctest::Approx(-200));  // 2 cents in 0.6 s
  CHECK(line.key_segments[0].drift_significant);
}

TEST_CASE("sinking by 60 cents is drift, described by its slope, and every note is judged against the sunken line") {
  const TuningCurve line = fit_tuning_curve(take(100, [](int i) { return small(i) - 60.0 * i / 99; }));
  REQUIRE(line.key_segments.size() == 1);
  CHECK(line.key_segments[0].drift_cents_per_minute.value() == doctest::Approx(-60 / 0.99).epsilon(0.03));
  CHECK(line.key_segments[0].drift_significant);
  for (const NoteErrors& error : line.errors) CHECK(std::abs(error.own_cents.value()) < 8);
}

TEST_CASE("a drift that is sure but under 10 cents is not called significant") {
  const TuningCurve line = fit_tuning_curve(take(60, [](int i) { return -0.1 * i; }));
  CHECK(line.key_segments[0].drift_ci95.value().second < 0);
  CHECK_FALSE(line.key_segments[0].drift_significant);
}

TEST_CASE("wrong notes do not drag the centre: a third of them 150 cents sharp leaves the rest at 0") {
  const TuningCurve line = fit_tuning_curve(take(30, [](int i) { return i % 3 == 1 ? 150.0 : small(i); }));
  REQUIRE(line.key_segments.size() == 1);
  for (std::size_t i = 0; i < 30; ++i)
    if (i % 3 != 1) CHECK(std::abs(line.errors[i].own_cents.value()) < 12);
}

TEST_CASE("a change of key starts a new key segment at its note, each with its own transposition") {
  const TuningCurve line = fit_tuning_curve(take(40, [](int i) { return small(i) + (i >= 23 ? 200 : 0); }));
  REQUIRE(line.key_segments.size() == 2);
  CHECK(line.key_segments[0].from_index == 0);
  CHECK(line.key_segments[0].to_index == 22);
  CHECK(line.key_segments[1].from_index == 23);
  CHECK(line.key_segments[1].to_index == 39);
  CHECK(line.key_segments[0].transposition_semitones == 0);
  CHECK(line.key_segments[1].transposition_semitones == 2);
  CHECK(line.transposition_semitones == 0);
  for (const NoteErrors& error : line.errors) CHECK(std::abs(error.own_cents.value()) < 9);
  CHECK(line.errors[30].concert_cents.value() > 190);  // never in another key
}

TEST_CASE("a singer who drops an octave in the middle is judged in the octave of each key segment") {
  const TuningCurve line = fit_tuning_curve(take(40, [](int i) { return small(i) - (i >= 25 ? 1200 : 0); }));
  REQUIRE(line.key_segments.size() == 2);
  CHECK(line.key_segments[1].transposition_semitones == -12);
  CHECK(line.octave_semitones == 0);
  CHECK(std::abs(line.errors[30].concert_cents.value()) < 9);
}

TEST_CASE("up to four notes out of line are wrong notes and no key") {
  CHECK(fit_tuning_curve(take(30, [](int i) {
          return small(i) + (i >= 12 && i < 16 ? 180 : 0);
        })).key_segments.size() == 1);
}

TEST_CASE(
    "on amateurs' errors keys that do not change stay one key segment in 98 of 100 takes, changes of a semitone are "
    "found in 80") {
  const auto one = [](const TuningCurve& line) { return line.key_segments.size() == 1; };
  const auto two = [](const TuningCurve& line) { return line.key_segments.size() == 2; };
  CHECK(share(
            40, [](int) { return 0.0; }, one) >= 0.98);
  CHECK(share(
            100, [](int) { return 0.0; }, one) >= 0.98);
  CHECK(share(
            60, [](int i) { return -60.0 * i / 59; }, one) >= 0.96);
  CHECK(share(
            40, [](int i) { return i >= 20 ? 100.0 : 0.0; }, two) >= 0.80);
  CHECK(share(
            40, [](int i) { return i >= 30 ? -300.0 : 0.0; }, two) >= 0.95);
}

TEST_CASE("on amateurs' errors the interval of the drift holds the truth in 92 to 98 of 100 takes") {
  const auto holds = [](double truth) {
    return [truth](const TuningCurve& line) {
      const auto& ci = line.key_segments[0].drift_ci95;  // none where a change of key was found: counts as a miss
      return ci && ci->first <= truth && truth <= ci->second;
    };
  };
  const double still = share(
      60, [](int) { return 0.0; }, holds(0));
  CHECK(still >= 0.92);
  CHECK(still <= 0.98);
  CHECK(share(
            60, [](int) { return 0.0; },
            [](const TuningCurve& line) { return !line.key_segments[0].drift_significant; }) >= 0.93);
}

TEST_CASE("20 000 notes are done in bounded work") {
  const TuningCurve line =
      fit_tuning_curve(take(20000, [](int i) { return small(i) + (i / 2000 % 2 == 0 ? 0 : 150); }));
  CHECK(line.errors.size() == 20000);
  CHECK(line.key_segments.size() == 10);
}

namespace {

/// Phrases of `per_phrase` notes; `level(p)` is the pitch of phrase p in cents.
template <class F>
std::vector<JudgedNote> phrases(int count, int per_phrase, F level) {
  auto notes = take(count * per_phrase, [&](int i) { return level(i / per_phrase) + small(i); });
  for (std::size_t i = 0; i < notes.size(); ++i) notes[i].phrase = 1 + static_cast<int>(i) / per_phrase;
  return notes;
}

}  // namespace

TEST_CASE("a semitone lower from phrase to phrase is as many keys, however short the phrases, and no drift") {
  for (const int per_phrase : {4, 5, 6, 8}) {
    CAPTURE(per_phrase);
    const TuningCurve curve = fit_tuning_curve(phrases(5, per_phrase, [](int p) { return -95.0 * p; }));
    REQUIRE(curve.key_segments.size() == 5);
    for (int p = 0; p < 5; ++p) {
      const KeySegment& segment = curve.key_segments[static_cast<std::size_t>(p)];
      CHECK(segment.from_index == p * per_phrase);
      CHECK(std::fabs(100.0 * segment.transposition_semitones + segment.centre_cents + 95.0 * p) < 6);
      CHECK_FALSE(segment.drift_significant);
    }
    for (const NoteErrors& errors : curve.errors) CHECK(std::fabs(*errors.own_cents) < 15);
  }
}

TEST_CASE("a steady drift over phrases stays one drift, and phrases at one pitch one key") {
  const auto steady = phrases(6, 5, [](int) { return 0.0; });
  CHECK(fit_tuning_curve(steady).key_segments.size() == 1);
  auto sinking = phrases(6, 5, [](int) { return 0.0; });
  for (JudgedNote& note : sinking) note.sung_hz *= std::exp2(-2.5 * note.time_s / 1200);  // 150 cents a minute
  const TuningCurve curve = fit_tuning_curve(sinking);
  REQUIRE(curve.key_segments.size() == 1);
  CHECK(curve.key_segments[0].drift_significant);
  const auto one_low = phrases(6, 5, [](int p) { return p == 3 ? -40.0 : 0.0; });
  CHECK(fit_tuning_curve(one_low).key_segments.size() == 1);
}
