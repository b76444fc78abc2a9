// Progress, by simulation at the level of notes: real gains are told in the headline, steady students are not said to
// change, also when good and bad weeks follow each other. Seeds are 7100 and above: no constant was chosen on them.
// FIRMUS_TREND_STUDENTS=2000 prints the table; by default 100 students a figure, with three standard errors of grace
// (two in the long run).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <random>

#include "../../../src/trend/figures.hpp"
#include "../../../src/trend/points.hpp"
#include "../../../src/trend/serial_line.hpp"

using namespace firmus;

namespace {

constexpr int quick_students = 100;

int students_to_simulate() {
  const char* wanted = std::getenv("FIRMUS_TREND_STUDENTS");
  const int students = wanted ? std::atoi(wanted) : quick_students;
  return students > 0 ? students : quick_students;
}

double uniform(std::mt19937_64& random) {
  return (static_cast<double>(random() >> 11) + 0.5) / 9007199254740992.0;
}
double standard_normal(std::mt19937_64& random) {
  return std::sqrt(-2 * std::log(uniform(random))) * std::cos(2 * 3.14159265358979323846 * uniform(random));
}

/// How a student goes through the weeks. The mean size of the errors is 20 cents at first: a spread of 25.
struct Student {
  int weeks = 6, takes_a_week = 2, notes = 60;
  double gain_cents = 0;   ///< from the first to the last take, in the mean size of the errors
  double form_cents = 0;   ///< standard deviation of that size from day to day
  double form_memory = 0;  ///< its autocorrelation from one week to the next
  bool heavy_tails = false;
};

/// Errors of a take whose mean size is `mean_abs`; neighbours resemble each other by 0.3.
std::vector<double> errors_of_take(const Student& student, double mean_abs, std::mt19937_64& random) {
  constexpr double normal_mean_abs = 0.7979, t4_mean_abs = 1.0;  // of a unit normal; of Student's t with 4 df
  std::vector<double> errors;
  double before = standard_normal(random);
  for (int note = 0; note < student.notes; ++note) {
    before = 0.3 * before + std::sqrt(1 - 0.09) * standard_normal(random);
    double squares = 4;
    if (student.heavy_tails) {
      squares = 0;
      for (int k = 0; k < 4; ++k) squares += std::pow(standard_normal(random), 2);
    }
    errors.push_back(mean_abs * before / std::sqrt(squares / 4) /
                     (student.heavy_tails ? t4_mean_abs : normal_mean_abs));
  }
  return errors;
}

TrendTake take_on(int day, const std::vector<double>& errors) {
  TrendTake take;
  take.name = fmt::format("day{}", day);
  take.result.context.date = day < 30 ? fmt::format("2026-09-{:02}", 1 + day) : fmt::format("2026-10-{:02}", day - 29);
  for (std::size_t k = 0; k < errors.size(); ++k) {
    NoteResult note;
    note.index = static_cast<int>(k);
    note.errors.own_cents = errors[k];
    note.verdict = std::fabs(errors[k]) <= 25 ? Verdict::in_tune : errors[k] > 0 ? Verdict::sharp : Verdict::flat;
    take.result.summary.judged += 1;
    take.result.summary.in_tune += note.verdict == Verdict::in_tune;
    take.result.notes.push_back(note);
  }
  take.result.centre_cents = 0;
  return take;
}

std::vector<TrendTake> takes_of(const Student& student, std::mt19937_64& random) {
  const int count = student.weeks * student.takes_a_week;
  const double memory = std::pow(student.form_memory, 1.0 / student.takes_a_week);
  double form = standard_normal(random);
  std::vector<TrendTake> takes;
  for (int k = 0; k < count; ++k) {
    const double mean_abs = 20 + student.form_cents * form - student.gain_cents * k / (count - 1);
    takes.push_back(take_on(7 * k / student.takes_a_week, errors_of_take(student, std::max(3.0, mean_abs), random)));
    form = memory * form + std::sqrt(1 - memory * memory) * standard_normal(random);
  }
  return takes;
}

struct Told {
  double better = 0, changed = 0, others = 0;  ///< shares: headline "better", headline changed, another figure changed
  double margin(double target) const {
    const int students = students_to_simulate();
    return (students >= 2000 ? 2 : 3) * std::sqrt(target * (1 - target) / students);
  }
};

Told simulate(const std::string& what, const Student& student, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  Told told;
  const int students = students_to_simulate();
  for (int i = 0; i < students; ++i) {
    const std::vector<TrendTake> takes = takes_of(student, random);
    std::vector<const TrendTake*> given;
    for (const TrendTake& take : takes) given.push_back(&take);
    bool others = false;
    for (const TrendFigure& figure : trend::figure_slopes(trend::order_takes(given).points)) {
      if (!figure.clear) continue;
      others = others || figure.kind != TrendFigureKind::mean_abs;
      if (figure.kind != TrendFigureKind::mean_abs) continue;
      told.changed += 1.0 / students;
      told.better += figure.per_week < 0 ? 1.0 / students : 0;
    }
    told.others += others ? 1.0 / students : 0;
  }
  if (std::getenv("FIRMUS_TREND_STUDENTS"))
    fmt::print("{:<66} better {:.3f}  changed {:.3f}  another figure {:.3f}\n", what, told.better, told.changed,
               told.others);
  return told;
}

struct Row {
  std::string what;
  Student student;
};

}  // namespace

TEST_CASE("simulation: a headline tells a change of at most one steady student in twenty, also where weeks are alike") {
  for (const Row& row : {Row{"steady, the same form every day", {6, 2, 60, 0, 0, 0}},
                         Row{"steady, form 2 cents, other every day", {6, 2, 60, 0, 2, 0}},
                         Row{"steady, form 3 cents, other every day", {6, 2, 60, 0, 3, 0}},
                         Row{"steady, form 2 cents, weeks alike (.7)", {6, 2, 60, 0, 2, 0.7}},
                         Row{"steady, form 2 cents, weeks alike (.7), heavy tails", {6, 2, 60, 0, 2, 0.7, true}},
                         Row{"steady, form 2 cents, takes alike (.7)", {6, 2, 60, 0, 2, 0.49}},
                         Row{"steady, form 2 cents, weeks alike (.7), 12 weeks", {12, 1, 60, 0, 2, 0.7}},
                         Row{"steady, 4 weekly takes of 124 notes, form 2 cents, alike (.7)", {4, 1, 124, 0, 2, 0.7}},
                         Row{"steady, 3 weekly takes, form 2 cents, alike (.7)", {3, 1, 60, 0, 2, 0.7}}}) {
    CAPTURE(row.what);
    const Told told = simulate(row.what, row.student, 7121);
    CHECK(told.changed <= 0.05 + told.margin(0.05));
    CHECK(told.others <= 0.05 + told.margin(0.05));
  }
}

TEST_CASE("simulation: a gain of 10 cents in 6 weeks at 2 takes a week is told in the headline for 45 in 100 or more") {
  for (const Row& row : {Row{"gain of 10 cents, the same form every day", {6, 2, 60, 10, 0, 0}},
                         Row{"gain of 10 cents, form 2 cents, other every day", {6, 2, 60, 10, 2, 0}},
                         Row{"gain of 10 cents, form 3 cents, other every day", {6, 2, 60, 10, 3, 0}},
                         Row{"gain of 10 cents, form 2 cents, weeks alike (.7)", {6, 2, 60, 10, 2, 0.7}},
                         Row{"gain of 10 cents, form 3 cents, weeks alike (.7)", {6, 2, 60, 10, 3, 0.7}},
                         Row{"gain of 10 cents, form 2 cents, heavy tails", {6, 2, 60, 10, 2, 0, true}}}) {
    CAPTURE(row.what);
    const Told told = simulate(row.what, row.student, 7122);
    CHECK(told.better >= 0.45 - told.margin(0.45));
  }
  // Few dates of many notes: 4 takes of 124.
  const Told few =
      simulate("gain of 10 cents in 4 weekly takes of 124 notes, form 1 cent", {4, 1, 124, 10, 1, 0}, 7123);
  CHECK(few.better >= 0.45 - few.margin(0.45));
}

TEST_CASE("values on a straight line give that line, in any unit") {
  std::vector<trend::DatedValue> values, thousandfold;
  for (const double week : {0.0, 0.5, 2.0, 3.0}) {
    const double scatter = week == 2 ? 0.3 : -0.1;
    values.push_back({week, 20 - 3 * week, 1});
    thousandfold.push_back({week, 1000 * (20 - 3 * week + scatter), 0});
  }
  const trend::SerialLine exact = trend::serial_line_of_notes(values);
  CHECK(exact.slope == doctest::Approx(-3));
  CHECK(exact.first == doctest::Approx(20));
  CHECK(exact.last == doctest::Approx(11));
  const trend::SerialLine wide = trend::serial_line(thousandfold, 0.1);
  for (trend::DatedValue& at : thousandfold) at.value /= 1000;
  const trend::SerialLine narrow = trend::serial_line(thousandfold, 0.0001);
  CHECK(wide.slope == doctest::Approx(1000 * narrow.slope));
  CHECK(wide.ci95.first == doctest::Approx(1000 * narrow.ci95.first));
  CHECK(wide.p == doctest::Approx(narrow.p));
}

TEST_CASE("the more the notes of a date scatter, the less its value says") {
  std::vector<trend::DatedValue> sure, unsure;
  for (int week = 0; week < 4; ++week) {
    sure.push_back({double(week), 20 - 2.5 * week, 0.5});
    unsure.push_back({double(week), 20 - 2.5 * week, 25});
  }
  const trend::SerialLine a = trend::serial_line_of_notes(sure), b = trend::serial_line_of_notes(unsure);
  CHECK(a.p <= 0.05);
  CHECK(b.p > 0.05);
  CHECK(a.ci95.second < 0);
  CHECK(b.ci95.second > 0);
}

TEST_CASE("fewer than three points, or points of one moment, have no slope") {
  std::vector<TrendPoint> points(2);
  points[1].weeks = 1;
  points[0].mean_abs_cents = points[1].mean_abs_cents = 20;
  CHECK(trend::figure_slopes(points).empty());
  std::vector<TrendPoint> same(4);
  for (TrendPoint& point : same) point.mean_abs_cents = 20;
  CHECK(trend::figure_slopes(same).empty());
}

TEST_CASE("a figure beside the headline is clear only when its p is small for all of these figures together") {
  std::vector<TrendPoint> points;
  const double centres[] = {0, 1, 2, 4, 3, 6, 5};
  for (int week = 0; week < 7; ++week) {
    TrendPoint point;
    point.weeks = week;
    point.centre_cents = centres[week];
    for (auto* same : {&point.in_tune_share, &point.accuracy_cents, &point.precision_cents}) *same = 0.5;
    points.push_back(point);
  }
  for (const TrendFigure& figure : trend::figure_slopes(points))
    if (figure.kind == TrendFigureKind::centre) {
      CAPTURE(figure.p);
      CHECK(figure.p < 0.05);
      CHECK(figure.p_adjusted > 0.05);
      CHECK_FALSE(figure.clear);
    }
}
