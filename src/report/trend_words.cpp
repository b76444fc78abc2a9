#include "trend_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "report/words.hpp"

namespace firmus::report {
namespace {

std::string whole_cents(double cents) {
  return counted(static_cast<int>(std::lround(std::fabs(cents))), "cent");
}

/// The ends of the confidence interval, multiplied by `sign` (1 or -1) and in order: "between 15 and 39".
std::string between(const EstimateWithCi& size, double sign) {
  const double a = sign * size.ci95.first, b = sign * size.ci95.second;
  return fmt::format("between {:.0f} and {:.0f}", std::min(a, b) + 0.0, std::max(a, b) + 0.0);
}

struct Unit {
  double factor;
  std::string_view many, down, up;
};
Unit unit_of(TrendFigureKind kind) {
  switch (kind) {
    case TrendFigureKind::in_tune_share:
      return {100, "percent of the notes", "less", "more"};
    case TrendFigureKind::drift:
      return {1, "cents a minute", "lower", "higher"};
    case TrendFigureKind::accuracy:
    case TrendFigureKind::centre:
      return {1, "cents", "lower", "higher"};
    default:
      return {1, "cents", "less", "more"};
  }
}

/// The size that gives the direction of the habit: the earlier one if the habit is gone or uncertain, else the later
/// one; of all takes if it stays.
double telling_size(const HabitChange& change) {
  const bool was = change.status == HabitTrend::gone || change.status == HabitTrend::uncertain;
  if (was && change.earlier) return change.earlier->cents;
  if (change.status != HabitTrend::stays && change.later) return change.later->cents;
  return change.habit.row.mean_cents;
}

std::string then_and_now(const HabitChange& change) {
  const double sign = telling_size(change) < 0 ? -1 : 1;
  const double then = sign * change.earlier->cents, now = sign * change.later->cents;
  const std::string way = sign < 0 ? " flat" : " sharp", other = sign < 0 ? " sharp" : " flat";
  const auto sized = [&](double cents, bool first) {
    const std::string size = first ? whole_cents(cents) : fmt::format("{:.0f}", std::fabs(cents));
    return std::lround(cents) < 0 ? size + other : size;
  };
  const double difference = now - then;
  const double to_bigger = difference < 0 ? -1 : 1;
  return fmt::format("{} at first, {} later ({} {}, {})", sized(then, true), sized(now, false),
                     fmt::format("{:.0f}", std::fabs(difference)), difference < 0 ? "less" : "more",
                     between(*change.change, sign * to_bigger));
}

}  // namespace

const TrendFigure* figure_of(const StudentTrend& student, TrendFigureKind kind) {
  for (const TrendFigure& figure : student.figures)
    if (figure.kind == kind) return &figure;
  return nullptr;
}

Sense sense_of(const TrendFigure& figure) {
  switch (figure.kind) {
    case TrendFigureKind::mean_abs:
    case TrendFigureKind::precision:
      return figure.per_week < 0 ? Sense::better : Sense::worse;
    case TrendFigureKind::in_tune_share:
      return figure.per_week > 0 ? Sense::better : Sense::worse;
    default:
      return Sense::neither;
  }
}

std::string change_in_words(const StudentTrend& student) {
  if (student.points.empty()) return student.drills.empty() ? "no recording with a melody yet" : "drills alone";
  const TrendFigure* off = figure_of(student, TrendFigureKind::mean_abs);
  if (!off) return student.by_date ? "too few dates" : "too few takes";
  if (!off->clear) return "no clear change";
  return sense_of(*off) == Sense::better ? "better" : "worse";
}

std::string total_change_in_words(const TrendFigure& figure) {
  const Unit unit = unit_of(figure.kind);
  const double total = figure.last - figure.first, span = figure.per_week != 0 ? total / figure.per_week : 0;
  const double sign = total < 0 ? -1 : 1;
  const double a = sign * unit.factor * span * figure.ci95.first, b = sign * unit.factor * span * figure.ci95.second;
  return fmt::format("{:.0f} {} {} (between {:.0f} and {:.0f})", sign * unit.factor * total, unit.many,
                     sign < 0 ? unit.down : unit.up, std::min(a, b) + 0.0, std::max(a, b) + 0.0);
}

bool is_flat(const TrendHabit& habit) {
  return telling_size(habit.change) < 0;
}

std::string trend_habit_in_words(const TrendHabit& habit) {
  const HabitChange& change = habit.change;
  const HabitRow& row = change.habit.row;
  // A substitution has no change in cents.
  if (!change.change || change.status == HabitTrend::stays)
    return sentence_case(habit_in_words(row)) + " in " + counted(change.habit.takes, "recording");
  return sentence_case(fmt::format("{}: {}", group_in_words(row), then_and_now(change)));
}

std::string left_out_in_words(const TrendLeftOut& take) {
  switch (take.reason) {
    case TrendLeftOut::Reason::not_measured:
      return "not measured: " + take.detail;
    case TrendLeftOut::Reason::without_melody:
      return "checked without a melody or a key";
    case TrendLeftOut::Reason::other_melody:
      return "seems to be another piece";
    case TrendLeftOut::Reason::doubtful_melody:
      return "may be another piece";
    case TrendLeftOut::Reason::nothing_judged:
      return "no note could be judged";
  }
  return {};
}

std::string span_in_words(const StudentTrend& student) {
  const int of_drills = drill_takes(student);
  const std::string drills = of_drills > 0 ? counted(of_drills, "recording") + " of drills" : "";
  const std::string takes = counted(static_cast<int>(student.takes.size()), "recording");
  const std::string and_drills = drills.empty() ? "" : "; " + drills;
  if (student.points.empty()) return drills.empty() ? "no recording with a melody yet" : drills;
  if (!student.by_date) return takes + ", in the order given: not all have a date" + and_drills;
  const std::string &first = *student.points.front().date, &last = *student.points.back().date;
  if (student.points.size() == 1) return takes + ", " + first + and_drills;
  return fmt::format("{} on {} dates, {} to {}{}", takes, student.points.size(), first, last, and_drills);
}

}  // namespace firmus::report
