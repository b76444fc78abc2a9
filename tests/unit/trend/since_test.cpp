// A take compared with an earlier one of the same melody. The truth is that of simulated singers: the errors of their
// notes have a lag-1 autocorrelation and a part that belongs to the written note and comes again in every take.
#include "firmus/since.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "firmus/habits.hpp"
#include "weeks.hpp"

using namespace firmus;

namespace {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double uniform() { return (static_cast<double>(engine_()) + 0.5) / 4294967296.0; }
  double normal() {  // Box and Muller 1958
    return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::numbers::pi * uniform());
  }

 private:
  std::mt19937 engine_;
};

/// What a singer does alike in every take, and how far single takes differ from it.
struct Singer {
  double of_note_cents = 8;  ///< standard deviation of the part that belongs to the written note
  double of_take_cents = 12;
  double autocorrelation = 0.3;
  bool heavy_tails = false;  ///< Student t with 4 degrees of freedom in place of the normal distribution
};

constexpr int melody_notes = 56;

std::vector<double> errors_of_notes(Dice& dice, double spread) {
  std::vector<double> errors;
  for (int note = 0; note < melody_notes; ++note) errors.push_back(spread * dice.normal());
  return errors;
}

double draw(Dice& dice, bool heavy_tails) {
  if (!heavy_tails) return dice.normal();
  double squares = 0;
  for (int k = 0; k < 4; ++k) squares += std::pow(dice.normal(), 2);
  return dice.normal() / std::sqrt(squares / 4) / std::sqrt(2.0);  // variance 1
}

TrendTake sung(Dice& dice, const Singer& singer, const std::vector<double>& of_notes, double planted = 0,
               double factor = 1) {
  std::vector<double> cents;
  double before = 0;
  for (int note = 0; note < melody_notes; ++note) {
    const double fresh = std::sqrt(1 - std::pow(singer.autocorrelation, 2)) * draw(dice, singer.heavy_tails);
    before = note == 0 ? draw(dice, singer.heavy_tails) : singer.autocorrelation * before + fresh;
    const double habit = weeks::is_after_sixth(note) ? planted : 0;
    cents.push_back(habit + factor * (of_notes[static_cast<std::size_t>(note)] + singer.of_take_cents * before));
  }
  return weeks::take("ana", "", [&](int note) { return cents[static_cast<std::size_t>(note)]; });
}

Melody melody_of_weeks() {
  const TrendTake take = weeks::take("ana", "", [](int) { return 0.0; });
  return read_melody(take.result.melody->text, "weeks.melody");
}

void add_habits(TrendTake& take, const Melody& melody) {
  take.result.habits = find_habits({&melody, take.result.notes});
}

struct Claims {
  double change = 0, solved = 0, appeared = 0;  ///< shares of the trials in which each was told
};

/// Of `trials` pairs of takes of a singer who stays the same.
Claims claims_of(const Singer& singer, unsigned seed, int trials, double planted = 0) {
  const Melody melody = melody_of_weeks();
  Dice dice(seed);
  Claims claims;
  for (int trial = 0; trial < trials; ++trial) {
    const auto of_notes = errors_of_notes(dice, singer.of_note_cents);
    TrendTake then = sung(dice, singer, of_notes, planted), now = sung(dice, singer, of_notes, planted);
    add_habits(then, melody);
    add_habits(now, melody);
    const Since since = compare_since(then.result, now.result, melody);
    claims.change += (since.verdict != SinceVerdict::not_clear) / static_cast<double>(trials);
    claims.solved += !since.solved.empty() / static_cast<double>(trials);
    claims.appeared += !since.appeared.empty() / static_cast<double>(trials);
  }
  return claims;
}

}  // namespace

TEST_CASE("a singer who stays the same is told a change in 5 of 100 pairs of takes at most") {
  constexpr int trials = 600;
  constexpr double grace = 0.0267;  // three standard errors of a share of 0.05
  for (const Singer& singer :
       {Singer{}, Singer{8, 12, 0.6, false}, Singer{8, 12, 0.3, true}, Singer{0, 12, 0.7, false}}) {
    CAPTURE(singer.autocorrelation);
    CAPTURE(singer.heavy_tails);
    const Claims claims = claims_of(singer, 5, trials);
    CHECK(claims.change <= 0.05 + grace);
    CHECK(claims.solved <= 0.05 + grace);
    CHECK(claims.appeared <= 0.05 + grace);
  }
  const Claims with_a_habit = claims_of(Singer{}, 6, trials, -30);
  CHECK(with_a_habit.solved <= 0.05 + grace);
  CHECK(with_a_habit.appeared <= 0.05 + grace);
}

TEST_CASE("the interval of the change holds the true change in 93 of 100 pairs, and a real gain is told") {
  constexpr int trials = 400;
  const Melody melody = melody_of_weeks();
  const Singer singer{6, 12, 0.3, false};
  // The mean absolute value of a normal error is its standard deviation times sqrt(2 / pi).
  const double then_cents = std::sqrt((36 + 144) * 2 / std::numbers::pi), truth = -then_cents / 2;
  Dice dice(7);
  int held = 0, told = 0;
  for (int trial = 0; trial < trials; ++trial) {
    const auto of_notes = errors_of_notes(dice, singer.of_note_cents);
    const TrendTake then = sung(dice, singer, of_notes), now = sung(dice, singer, of_notes, 0, 0.5);
    const Since since = compare_since(then.result, now.result, melody);
    REQUIRE(since.change_ci95_cents);
    held += since.change_ci95_cents->first <= truth && truth <= since.change_ci95_cents->second;
    told += since.verdict == SinceVerdict::better;
  }
  MESSAGE("interval holds the truth in " << held << ", a gain of " << -truth << " cents is told in " << told << " of "
                                         << trials);
  CHECK(held >= 0.93 * trials);
  CHECK(told >= 0.8 * trials);
}

TEST_CASE("a habit that is gone is solved, one that came is new, each once") {
  const Melody melody = melody_of_weeks();
  Dice dice(8);
  const Singer singer{0, 8, 0.3, false};
  const auto of_notes = errors_of_notes(dice, 0);
  TrendTake with = sung(dice, singer, of_notes, -40), without = sung(dice, singer, of_notes);
  add_habits(with, melody);
  add_habits(without, melody);
  const Since gone = compare_since(with.result, without.result, melody);
  REQUIRE(gone.solved.size() == 1);
  CHECK(gone.solved[0].group == "interval");
  CHECK(gone.solved[0].name == "M6");
  CHECK(gone.solved[0].indices == std::vector<int>{1, 9, 17, 25, 33, 41, 49});
  CHECK(gone.solved[0].then_cents == doctest::Approx(-40).epsilon(0.2));
  CHECK(gone.solved[0].change_ci95_cents.first > 0);
  CHECK(gone.appeared.empty());
  const Since came = compare_since(without.result, with.result, melody);
  CHECK(came.solved.empty());
  REQUIRE(came.appeared.size() == 1);
  CHECK(came.appeared[0].name == "M6");
}

TEST_CASE("a single wrong note that is right now is told by its place; small changes only enter the counts") {
  const Melody melody = melody_of_weeks();
  const auto quiet = [](int take) { return [take](int note) { return weeks::noise(take, note); }; };
  TrendTake then = weeks::take("ana", "2026-09-07", [&](int note) {
    return note == 10 ? 104.0 : note == 20 ? 27.0 : weeks::noise(1, note);
  });
  const TrendTake now = weeks::take("ana", "", quiet(2));
  for (NoteResult& note : then.result.notes)
    if (note.index == 10) note.verdict = Verdict::other_note;
  const Since since = compare_since(then.result, now.result, melody);
  REQUIRE(since.solved.size() == 1);
  CHECK(since.solved[0].group == "spot");
  CHECK(since.solved[0].name == "bar 3 beat 3");
  CHECK(since.solved[0].indices == std::vector<int>{10});
  CHECK(since.off_then == 2);
  CHECK(since.off_then_in_tune_now == 2);
  CHECK(since.in_tune_then == 54);
  CHECK(since.in_tune_then_off_now == 0);
  CHECK(since.notes == 55);  // a wrong note enters no mean
  CHECK(since.date == "2026-09-07");
}

TEST_CASE("with no note judged in both takes nothing is compared") {
  const Melody melody = melody_of_weeks();
  const TrendTake now = weeks::take("ana", "", [](int) { return 1.0; });
  TrendTake then = now;
  for (NoteResult& note : then.result.notes) note.verdict = Verdict::unclear;
  const Since since = compare_since(then.result, now.result, melody);
  CHECK(since.notes == 0);
  CHECK_FALSE(since.then_mean_abs_cents.has_value());
  CHECK_FALSE(since.change_ci95_cents.has_value());
  CHECK(since.verdict == SinceVerdict::not_clear);
}

TEST_CASE("what cannot be compared is told with what would be right") {
  const Melody melody = melody_of_weeks();
  const TrendTake take = weeks::take("ana", "", [](int) { return 1.0; });
  const auto line = [&](const Result& earlier, const Settings& settings = {}) {
    const auto reason = reason_not_comparable(earlier, melody, settings, "week1.json");
    return reason ? to_line(*reason) : "";
  };
  CHECK(line(take.result) == "");
  Result other = take.result;
  other.melody = MelodyFacts{"Kite", "", "title: Kite\n\nC4 D4", {}, {}, {}, 2};
  CHECK(line(other) ==
        "week1.json: is the result of \"Kite\", not of a melody without a title; give a result of the same melody, or "
        "that melody with --melody");
  Result same_title = take.result;
  same_title.melody = MelodyFacts{"", "", "C4 D4", {}, {}, {}, 2};
  CHECK(line(same_title) ==
        "week1.json: is the result of another version of a melody without a title: its notes differ; give a result of "
        "the same melody, or that melody with --melody");
  Result without = take.result;
  without.melody.reset();
  CHECK(line(without) ==
        "week1.json: is the result of a take without a melody; measure that take with the same --melody, and give its "
        "result");
  Result failed = take.result;
  failed.error = NotMeasured{"silence", "no pitched sound was found", ""};
  CHECK(line(failed) ==
        "week1.json: holds no measurement: no pitched sound was found; give the result of a measured take");
  Settings wide;
  wide.tolerance_cents = Cents(30);
  CHECK(line(take.result, wide) ==
        "week1.json: was measured with --tolerance 25; measure both takes with the same settings");
}
