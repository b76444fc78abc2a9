#include "made_trend.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace firmus::made {
namespace {

TrendPoint point_of(int week) {
  TrendPoint point;
  point.date = fmt::format("2031-{:02}-{:02}", 1 + week / 4, 1 + week % 4 * 7);
  point.weeks = week;
  point.takes = {fmt::format("week{}.json", week)};
  point.judged = 30;
  point.in_tune = std::min(30, 15 + week);
  point.in_tune_share = point.in_tune / 30.0;
  point.mean_abs_cents = std::max(4.0, 30.0 - 2 * week);
  point.precision_cents = 20;
  point.accuracy_cents = week % 2 == 0 ? 3.0 : -4.0;
  point.centre_cents = -12;
  if (week != 1) point.drift_cents_per_minute = 25;
  return point;
}

TrendHabit habit_of(const char* interval, HabitTrend status, double cents, int dates) {
  TrendHabit habit;
  HabitRow& row = habit.change.habit.row;
  row.decision = HabitDecision::chronic;
  row.group = "interval";
  row.name = interval;
  row.direction = Direction::up;
  row.count = row.same_way = 7 * dates;
  row.mean_cents = cents;
  habit.change.habit.takes = dates;
  habit.change.status = status;
  for (int week = 0; week < dates; ++week) habit.cents_by_point.push_back(cents * (week + 1) / dates);
  return habit;
}

}  // namespace

StudentTrend student_of(const std::string& name, int dates) {
  StudentTrend student;
  student.student = name;
  student.melodies = 1;
  for (int week = 0; week < dates; ++week) {
    student.points.push_back(point_of(week));
    student.takes.push_back(student.points.back().takes[0]);
  }
  if (dates > 2) {
    TrendFigure figure;
    figure.first = 30;
    figure.last = 30 - 2.0 * (dates - 1);
    figure.per_week = -2;
    figure.ci95 = {-2.5, -1.5};
    figure.p = figure.p_adjusted = 0.001;
    figure.clear = true;
    student.figures = {figure};
  }
  student.habits = {habit_of("M6", HabitTrend::stays, -30, dates), habit_of("m2", HabitTrend::stays, 15, dates)};
  return student;
}

}  // namespace firmus::made
