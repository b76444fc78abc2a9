// The fields of a trend, in the order of the JSON and of the tables.
#include <array>

#include "row_fields.hpp"
#include "trend_words.hpp"

namespace firmus::report {
namespace {

constexpr int slope_decimals = 2, weeks_decimals = 2;

constexpr std::array student_trend_table{
    member<&StudentTrend::student>(key_only("student")),
    member<&StudentTrend::by_date>(
        key_only("by_date", "", "every take has a date; else a point is a take, in the order given")),
    computed<StudentTrend>(
        key_only("earlier_points", "", "whose habits are compared with those of the others; 0: too few takes"),
        at_least_0(), [](const StudentTrend& student) { return static_cast<int>(student.earlier_points); }),
    member<&StudentTrend::melodies>(key_only("melodies"), at_least_0()),
    member<&StudentTrend::settings_differ>(
        key_only("settings_differ", "", "not all takes by one reference, tolerance and tuning")),
};

constexpr std::array of_point{
    member<&TrendPoint::date>(both("date", "", "of the takes; null: they have none"), date_format),
    member<&TrendPoint::weeks>(both("weeks", "weeks", "since the first point; without dates its number, from 0"),
                               at_least_0(weeks_decimals)),
    member<&TrendPoint::takes>(both("takes", "", "names of their results")),
    member<&TrendPoint::judged>(both("judged", "", ""), at_least_0()),
    member<&TrendPoint::in_tune>(both("in_tune", "", ""), at_least_0()),
    member<&TrendPoint::in_tune_share>(both("in_tune_share", "share", ""), share_format),
    member<&TrendPoint::mean_abs_cents>(both("mean_abs_cents", "cents", ""), at_least_0(cents_decimals)),
    member<&TrendPoint::accuracy_cents>(both("accuracy_cents", "cents", ""), cents_format),
    member<&TrendPoint::precision_cents>(both("precision_cents", "cents", ""), at_least_0(cents_decimals)),
    member<&TrendPoint::centre_cents>(both("centre_cents", "cents", ""), cents_format),
    member<&TrendPoint::drift_cents_per_minute>(both("drift_cents_per_minute", "cents/min", ""), cents_format),
};

/// A share has more decimals than a value in cents.
Number figure_number(const TrendFigure& figure, double value) {
  return {value, figure.kind == TrendFigureKind::in_tune_share ? share_decimals : slope_decimals};
}
constexpr std::array of_figure{
    member<&TrendFigure::kind>(key_only("figure")),
    computed<TrendFigure>(key_only("first", "", "of the straight line, at the first point"), {},
                          [](const TrendFigure& figure) { return figure_number(figure, figure.first); }),
    computed<TrendFigure>(key_only("last", "", "at the last point"), {},
                          [](const TrendFigure& figure) { return figure_number(figure, figure.last); }),
    computed<TrendFigure>(key_only("per_week", "", "slope; per take where there are no dates"), {},
                          [](const TrendFigure& figure) { return figure_number(figure, figure.per_week); }),
    computed<TrendFigure>(key_only("ci95"), {},
                          [](const TrendFigure& figure) {
                            return std::pair(figure_number(figure, figure.ci95.first),
                                             figure_number(figure, figure.ci95.second));
                          }),
    member<&TrendFigure::p>(key_only("p"), p_format),
    member<&TrendFigure::p_adjusted>(key_only("p_adjusted", "", "for all figures of the student"), p_format),
    member<&TrendFigure::clear>(key_only("clear")),
};

std::optional<double> cents_of(const std::optional<EstimateWithCi>& size) {
  return size ? std::optional(size->cents) : std::nullopt;
}
std::optional<std::pair<double, double>> ci95_of(const std::optional<EstimateWithCi>& size) {
  return size ? std::optional(size->ci95) : std::nullopt;
}

template <auto Member>
constexpr auto of_row(FieldNames names, Format format = {}) {
  return member<&TrendHabit::change, &HabitChange::habit, &SharedHabit::row, Member>(names, format);
}
constexpr std::array of_habit{
    member<&TrendHabit::change, &HabitChange::status>(both("fate", "", "")),
    of_row<&HabitRow::group>(both("group", "", "")),
    of_row<&HabitRow::name>(both("name", "", "")),
    of_row<&HabitRow::direction>(both("direction", "", "")),
    of_row<&HabitRow::count>(both("count", "", ""), at_least_0()),
    of_row<&HabitRow::same_way>(both("same_way", "", ""), at_least_0()),
    of_row<&HabitRow::mean_cents>(both("mean_cents", "cents", "mean error of the notes"), cents_format),
    of_row<&HabitRow::ci95_cents>(key_only("ci95_cents", "cents", "95 % interval of mean_cents"), cents_format),
    of_row<&HabitRow::contrast_cents>(
        key_only("contrast_cents", "cents", "against the rest of each take: what was tested"), cents_format),
    of_row<&HabitRow::contrast_ci95_cents>(key_only("contrast_ci95_cents", "cents", ""), cents_format),
    computed<TrendHabit>(both("earlier_cents", "cents", ""), cents_format,
                         [](const TrendHabit& habit) { return cents_of(habit.change.earlier); }),
    computed<TrendHabit>(both("earlier_ci95_cents", "cents", ""), cents_format,
                         [](const TrendHabit& habit) { return ci95_of(habit.change.earlier); }),
    computed<TrendHabit>(both("later_cents", "cents", ""), cents_format,
                         [](const TrendHabit& habit) { return cents_of(habit.change.later); }),
    computed<TrendHabit>(both("later_ci95_cents", "cents", ""), cents_format,
                         [](const TrendHabit& habit) { return ci95_of(habit.change.later); }),
    computed<TrendHabit>(both("change_cents", "cents", "later minus earlier"), cents_format,
                         [](const TrendHabit& habit) { return cents_of(habit.change.change); }),
    computed<TrendHabit>(both("change_ci95_cents", "cents", ""), cents_format,
                         [](const TrendHabit& habit) { return ci95_of(habit.change.change); }),
    member<&TrendHabit::change, &HabitChange::p>(both("p", "", "of the change"), p_format),
    member<&TrendHabit::change, &HabitChange::p_adjusted>(both("p_adjusted", "", ""), p_format),
    of_row<&HabitRow::aliases>(both("same_as", "", "other names of the same notes")),
    of_row<&HabitRow::confounders>(both("could_be", "", "other groups that it could as well be")),
    computed<TrendHabit>(
        key_only("cents_by_point", "cents", "mean error of its notes at each point; null: not sung there"),
        cents_format, [](const TrendHabit& habit) { return habit.cents_by_point; }),
};

constexpr std::array of_drills{
    member<&TrendDrills::by_date>(key_only("by_date")),
    member<&TrendDrills::first_cents>(key_only("first_cents", "cents", "over the drills of the first date"),
                                      cents_format),
    member<&TrendDrills::last_cents>(key_only("last_cents", "cents"), cents_format),
};

using StateOfDrill = std::pair<std::string, DrillState>;
constexpr std::array of_drill_state{
    member<&StateOfDrill::first>(key_only("drill")),
    member<&StateOfDrill::second>(key_only("state")),
};

constexpr std::array of_drill_point{
    member<&TrendDrillPoint::date>(both("date", "", "of the takes; null: they have none"), date_format),
    member<&TrendDrillPoint::drill>(both("drill", "", "title of its melody")),
    member<&TrendDrillPoint::takes>(both("takes", "", "")),
    member<&TrendDrillPoint::notes>(both("notes", "", "that the drill is about"), at_least_0()),
    member<&TrendDrillPoint::judged>(both("judged", "", ""), at_least_0()),
    member<&TrendDrillPoint::in_tune>(both("in_tune", "", ""), at_least_0()),
    member<&TrendDrillPoint::most_in_a_row>(both("most_in_a_row", "", ""), at_least_0()),
    member<&TrendDrillPoint::mean_cents>(both("mean_cents", "cents", ""), cents_format),
    member<&TrendDrillPoint::done>(both("done", "", "")),
};

constexpr std::array of_left_out{
    member<&TrendLeftOut::name>(key_only("take")),
    computed<TrendLeftOut>(key_only("why"), {}, [](const TrendLeftOut& take) { return left_out_in_words(take); }),
};

}  // namespace

std::span<const Field<StudentTrend>> student_trend_fields() {
  return student_trend_table;
}
std::span<const Field<TrendPoint>> trend_point_fields() {
  return of_point;
}
std::span<const Field<TrendFigure>> trend_figure_fields() {
  return of_figure;
}
std::span<const Field<TrendHabit>> trend_habit_fields() {
  return of_habit;
}
std::span<const Field<TrendDrills>> trend_drills_fields() {
  return of_drills;
}
std::span<const Field<StateOfDrill>> drill_state_fields() {
  return of_drill_state;
}
std::span<const Field<TrendDrillPoint>> trend_drill_point_fields() {
  return of_drill_point;
}
std::span<const Field<TrendLeftOut>> left_out_fields() {
  return of_left_out;
}

}  // namespace firmus::report
