// Takes over weeks are reported in order, with changes and habits; too few takes give no claim.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "base/base.hpp"
#include "firmus/report.hpp"
#include "report/trend_words.hpp"
#include "weeks.hpp"

using namespace firmus;
using namespace firmus::weeks;
using doctest::Approx;
using Json = nlohmann::ordered_json;

namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

/// `sixths(week)`: error of the notes reached by a rising sixth.
std::vector<TrendTake> term(const std::string& student, int count, const std::function<double(int)>& sixths,
                            double factor = 1) {
  std::vector<TrendTake> takes;
  for (int week = 0; week < count; ++week)
    takes.push_back(take(student, monday(week), [&](int note) {
      return factor * noise(week, note) + (is_after_sixth(note) ? sixths(week) : 0);
    }));
  return takes;
}

const StudentTrend& only(const Trend& trend) {
  REQUIRE(trend.students.size() == 1);
  return trend.students.front();
}

std::string plain(const std::vector<TrendTake>& takes) {
  return trend_as_text(make_trend(takes), Colour::never);
}

const TrendFigure& figure(const StudentTrend& student, TrendFigureKind kind) {
  for (const TrendFigure& one : student.figures)
    if (one.kind == kind) return one;
  FAIL("no such figure");
  return student.figures.front();
}

}  // namespace

TEST_CASE("takes are told by date, whatever the order they are given in, and those of one date together") {
  std::vector<TrendTake> takes = term("ana", 3, [](int) { return 0; });
  std::swap(takes[0], takes[2]);
  takes.push_back(take("ana", monday(1), [](int) { return 40; }));
  const Trend trend = make_trend(takes);
  const StudentTrend& ana = only(trend);
  CHECK(ana.by_date);
  REQUIRE(ana.points.size() == 3);
  CHECK(ana.points[0].date == "2026-09-07");
  CHECK(ana.points[2].weeks == 2);
  CHECK(ana.points[1].takes == std::vector<std::string>{"ana-2026-09-14.json", "ana-2026-09-14.json"});
  CHECK(ana.points[1].judged == 112);
  CHECK(ana.points[1].in_tune_share == Approx(0.5));
  CHECK(ana.takes.size() == 4);
}

TEST_CASE("without a date for every take they stay in the order given, and it is said") {
  std::vector<TrendTake> takes = term("ana", 3, [](int) { return 0; });
  takes[1].result.context.date.reset();
  CHECK_FALSE(make_trend(takes).students[0].by_date);
  CHECK(has(plain(takes), "ana, 3 recordings, in the order given: not all have a date\n"));
  takes[1].result.context.date = "2026-02-30";  // no day of the calendar
  CHECK_FALSE(make_trend(takes).students[0].by_date);
}

TEST_CASE("the figures of a date are those of its notes") {
  const Trend trend = make_trend({take("ana", monday(0), [](int note) { return note % 2 ? 30.0 : -10.0; })});
  const TrendPoint& point = only(trend).points.at(0);
  CHECK(point.judged == 56);
  CHECK(point.in_tune == 28);
  CHECK(point.accuracy_cents == Approx(10));
  CHECK(point.mean_abs_cents == Approx(20));
  CHECK(point.precision_cents == Approx(20 * std::sqrt(56.0 / 55)));
  CHECK(point.centre_cents == Approx(-8));
  CHECK_FALSE(point.drift_cents_per_minute.has_value());
}

TEST_CASE("the mean absolute error is tested alone, by a line through all dates") {
  std::vector<TrendTake> takes;
  const double sizes[] = {20, 17, 15, 10};
  for (int week = 0; week < 4; ++week)
    takes.push_back(take("ana", monday(week), [&](int note) { return note % 2 ? sizes[week] : -sizes[week]; }));
  const Trend trend = make_trend(takes);
  const TrendFigure& off = figure(only(trend), TrendFigureKind::mean_abs);
  CHECK(off.per_week == Approx(-3.2).epsilon(0.1));  // -3.2 by least squares
  CHECK(off.ci95.first < -3.2);
  CHECK(off.ci95.second > -3.2);
  CHECK(off.last - off.first == Approx(3 * off.per_week));
  CHECK(off.clear);
  CHECK(off.p_adjusted == off.p);
}

TEST_CASE("what is said of a change is within the dates, not by the week") {
  // Four takes in three days: 24, 20, 16, 12 cents.
  std::vector<TrendTake> takes;
  for (int day = 0; day < 4; ++day)
    takes.push_back(take("ana", fmt::format("2026-09-{:02}", 7 + day),
                         [&](int note) { return (note % 2 ? 1 : -1) * (24.0 - 4 * day); }));
  std::string text = plain(takes);
  std::replace(text.begin(), text.end(), '\n', ' ');
  CHECK_FALSE(has(text, "week"));
  CHECK(has(text, "verage error 24 cents at first, 12 at last; 100 % in tune, then 100 %"));
}

TEST_CASE("of one or two dates no change is told") {
  std::string one = plain(term("ana", 1, [](int) { return 0; }));
  std::replace(one.begin(), one.end(), '\n', ' ');
  CHECK(has(one, "To see a change takes at least 3 dates."));
  std::string two = plain(term("ana", 2, [](int week) { return week == 0 ? -90.0 : 0.0; }));
  std::replace(two.begin(), two.end(), '\n', ' ');
  CHECK(has(two, "2 dates are too few to see a change; at least 3 are needed."));
  CHECK_FALSE(has(two, "gone"));
  CHECK(make_trend(term("ana", 2, [](int) { return 0; })).students[0].figures.empty());
}

TEST_CASE("a habit that stops is told as gone, with its sizes then and now") {
  const std::vector<TrendTake> takes = term("ana", 8, [](int week) { return week < 4 ? -35.0 : 0.0; });
  const Trend trend = make_trend(takes);
  const StudentTrend& ana = only(trend);
  CHECK(ana.earlier_points == 4);
  REQUIRE(ana.habits.size() == 1);
  const TrendHabit& habit = ana.habits[0];
  CHECK(habit.change.status == HabitTrend::gone);
  CHECK(habit.change.earlier->cents == Approx(-35).epsilon(0.15));
  CHECK(std::fabs(habit.change.later->cents) < 5);
  CHECK(habit.cents_by_point.size() == 8);
  const std::string text = plain(takes);
  CHECK(has(text, "Solved\n  Rising major sixths: "));
  CHECK(has(text, "Compared    first half (before 2026-10-05) with the second half\n"));
}

TEST_CASE("a habit that stays is told with its count, one that comes as new") {
  const std::string stays = plain(term("ana", 6, [](int) { return -30.0; }));
  CHECK(has(stays, "Recurring problems\n  Rising major sixths are "));
  CHECK(has(stays, "(all 42) in 6 recordings"));
  CHECK(has(plain(term("ana", 8, [](int week) { return week < 4 ? 0.0 : 35.0; })),
            "New or worse\n  Rising major sixths: "));
}

TEST_CASE("students of a class stand in one table, by name, and each on a page") {
  std::vector<TrendTake> takes = term("zoe", 4, [](int) { return -30.0; });
  for (TrendTake& one : term("ben", 4, [](int) { return -30.0; })) takes.push_back(std::move(one));
  takes.push_back(take("", monday(0), [](int) { return 0; }));
  const Trend trend = make_trend(takes);
  REQUIRE(trend.students.size() == 3);
  CHECK(trend.students[0].student == "ben");
  CHECK(trend.students[1].student == "zoe");
  CHECK_FALSE(trend.students[2].student.has_value());
  const std::string text = trend_as_text(trend, Colour::never);
  CHECK(has(text, "Class       3 students, 9 takes\n"));
  CHECK(has(text, "Rising major sixths flat: 2 students now\n"));
  CHECK(text.find("  ben ") < text.find("  zoe "));
  CHECK(has(text, "  without a name "));
}

TEST_CASE("takes that say nothing are left out by name, with the reason") {
  std::vector<TrendTake> takes = term("ana", 4, [](int) { return 0; });
  takes[0].result.decision = AlignmentDecision::not_this_melody;
  takes[1].result.error = NotMeasured{"silence", "no pitched sound was found", ""};
  takes[2].result.decision = AlignmentDecision::listen;
  const Trend trend = make_trend(takes);
  const StudentTrend& ana = only(trend);
  CHECK(ana.points.size() == 1);
  REQUIRE(ana.left_out.size() == 3);
  CHECK(report::left_out_in_words(ana.left_out[0]) == "seems to be another piece");
  CHECK(report::left_out_in_words(ana.left_out[1]) == "not measured: no pitched sound was found");
  CHECK(has(trend_as_text(trend, Colour::never), "Left out    ana-2026-09-07.json: seems to be another piece\n"));
}

TEST_CASE("a result whose melody is not the one that was measured is damaged, the others are told") {
  std::vector<TrendTake> takes = term("ana", 3, [](int) { return 0; });
  takes[0].result.melody->text = "C4 D4 H4";
  takes[1].result.melody->written_notes = 5;
  const Trend trend = make_trend(takes);
  REQUIRE(trend.damaged.size() == 2);
  CHECK(to_line(trend.damaged[0]) ==
        "ana-2026-09-07.json: holds a melody that is not the one that was measured; measure the take again with "
        "\"firmus check --out\"");
  CHECK(only(trend).points.size() == 1);
}

TEST_CASE("other settings and other melodies are said to be so") {
  std::vector<TrendTake> takes = term("ana", 3, [](int) { return 0; });
  CHECK_FALSE(has(plain(takes), "Settings"));
  takes[0].result.settings.tolerance_cents = Cents(15);
  takes[1].result.melody->text = "title: another\n" + takes[1].result.melody->text;
  CHECK(has(plain(takes), "Settings    the recordings were not all checked with the same reference"));
  CHECK(has(plain(takes), "Melodies    2 different ones: a harder one can look like a step back\n"));
}

TEST_CASE("no line is wider than 78 columns, and names cannot steer the terminal") {
  std::vector<TrendTake> takes = term(std::string(200, 'x') + "\x1b[31m", 8, [](int week) { return -5.0 * week; });
  for (TrendTake& one : term("b", 3, [](int) { return 1000; })) takes.push_back(std::move(one));
  takes.push_back(take("b", "", [](int) { return 0; }));
  const std::string text = plain(takes);
  CHECK_FALSE(has(text, "\x1b"));
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(code_points(line) <= 78);
  }
}

TEST_CASE("the schema has every key of a trend, and no other") {
  const Json schema = Json::parse(trend_json_schema());
  const Json json = Json::parse(trend_as_json(make_trend(term("ana", 8, [](int) { return -35.0; }))));
  const auto as_set = [](const Json& object) {
    std::set<std::string> keys;
    for (const auto& [key, value] : object.items()) keys.insert(key);
    return keys;
  };
  const auto check_same = [&](const Json& object, const Json& described) {
    CHECK(as_set(object) == as_set(described["properties"]));
    CHECK(described["required"].size() == object.size());
  };
  check_same(json, schema);
  const Json &student = json["students"][0], &of_student = schema["properties"]["students"]["items"];
  check_same(student, of_student);
  for (const char* list : {"points", "figures", "habits"})
    check_same(student[list][0], of_student["properties"][list]["items"]);
}

TEST_CASE("the tables have a row a point and a habit, and the JSON holds the same") {
  const Trend trend = make_trend(term("ana", 8, [](int week) { return week < 4 ? -35.0 : 0.0; }));
  const std::string csv = trend_points_csv(trend);
  CHECK(csv.starts_with(
      "student,date,weeks,takes,judged,in_tune,in_tune_share,mean_abs_cents,accuracy_cents,precision_cents,"
      "centre_cents,drift_cents_per_minute\r\nana,2026-09-07,0.00,ana-2026-09-07.json,56,"));
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 9);
  CHECK(has(trend_habits_csv(trend), "\r\nana,gone,interval,M6,up,56,"));
  const Json json = Json::parse(trend_as_json(trend));
  CHECK(json["schema"] == "firmus.trend/1");
  const Json& student = json["students"][0];
  CHECK(student["points"].size() == 8);
  CHECK(student["habits"][0]["fate"] == "gone");
  CHECK(student["habits"][0]["cents_by_point"].size() == 8);
  CHECK(student["figures"][0]["figure"] == "mean_abs_cents");
  CHECK(student["left_out"].empty());
}
