#include "trend_fields.hpp"

#include <array>

namespace firmus::report {
namespace {

constexpr int slope_decimals = 2, weeks_decimals = 2;

Cell ci95_of(const std::optional<EstimateWithCi>& size) {
  if (!size) return {};
  return std::pair(Number{size->ci95.first, cents_decimals}, Number{size->ci95.second, cents_decimals});
}
Cell cents_of(const std::optional<EstimateWithCi>& size) {
  return size ? Cell(Number{size->cents, cents_decimals}) : Cell();
}

int decimals_of(const TrendFigure& figure) {
  return figure.kind == TrendFigureKind::in_tune_share ? share_decimals : slope_decimals;
}

using PointField = TrendField<TrendPoint>;
constexpr std::array trend_points{
    PointField{"date", [](const TrendPoint& p) { return cell_of(p.date); }},
    PointField{"weeks",
               [](const TrendPoint& p) {
                 return Cell(Number{p.weeks, weeks_decimals});
               }},
    PointField{"takes", [](const TrendPoint& p) { return Cell(p.takes); }},
    PointField{"judged", [](const TrendPoint& p) { return Cell(p.judged); }},
    PointField{"in_tune", [](const TrendPoint& p) { return Cell(p.in_tune); }},
    PointField{"in_tune_share", [](const TrendPoint& p) { return cell_of(p.in_tune_share, share_decimals); }},
    PointField{"mean_abs_cents", [](const TrendPoint& p) { return cell_of(p.mean_abs_cents, cents_decimals); }},
    PointField{"accuracy_cents", [](const TrendPoint& p) { return cell_of(p.accuracy_cents, cents_decimals); }},
    PointField{"precision_cents", [](const TrendPoint& p) { return cell_of(p.precision_cents, cents_decimals); }},
    PointField{"centre_cents", [](const TrendPoint& p) { return cell_of(p.centre_cents, cents_decimals); }},
    PointField{"drift_cents_per_minute",
               [](const TrendPoint& p) { return cell_of(p.drift_cents_per_minute, cents_decimals); }},
};

using FigureField = TrendField<TrendFigure>;
constexpr std::array trend_figures{
    FigureField{"figure", [](const TrendFigure& f) { return Cell(std::string(to_string(f.kind))); }},
    FigureField{"first",
                [](const TrendFigure& f) {
                  return Cell(Number{f.first, decimals_of(f)});
                }},
    FigureField{"last",
                [](const TrendFigure& f) {
                  return Cell(Number{f.last, decimals_of(f)});
                }},
    FigureField{"per_week",
                [](const TrendFigure& f) {
                  return Cell(Number{f.per_week, decimals_of(f)});
                }},
    FigureField{"ci95",
                [](const TrendFigure& f) {
                  return Cell(std::pair(Number{f.ci95.first, decimals_of(f)}, Number{f.ci95.second, decimals_of(f)}));
                }},
    FigureField{"p",
                [](const TrendFigure& f) {
                  return Cell(Number{f.p, p_decimals});
                }},
    FigureField{"p_adjusted",
                [](const TrendFigure& f) {
                  return Cell(Number{f.p_adjusted, p_decimals});
                }},
};

using TrendHabitField = TrendField<TrendHabit>;
constexpr std::array trend_habits{
    TrendHabitField{"fate", [](const TrendHabit& h) { return Cell(std::string(to_string(h.change.status))); }},
    TrendHabitField{"group", [](const TrendHabit& h) { return Cell(h.change.habit.row.group); }},
    TrendHabitField{"name", [](const TrendHabit& h) { return Cell(h.change.habit.row.name); }},
    TrendHabitField{"direction",
                    [](const TrendHabit& h) {
                      const auto& direction = h.change.habit.row.direction;
                      return direction ? Cell(std::string(to_string(*direction))) : Cell();
                    }},
    TrendHabitField{"count", [](const TrendHabit& h) { return Cell(h.change.habit.row.count); }},
    TrendHabitField{"same_way", [](const TrendHabit& h) { return Cell(h.change.habit.row.same_way); }},
    TrendHabitField{"mean_cents",
                    [](const TrendHabit& h) {
                      return Cell(Number{h.change.habit.row.mean_cents, cents_decimals});
                    }},
    TrendHabitField{"earlier_cents", [](const TrendHabit& h) { return cents_of(h.change.earlier); }},
    TrendHabitField{"earlier_ci95_cents", [](const TrendHabit& h) { return ci95_of(h.change.earlier); }},
    TrendHabitField{"later_cents", [](const TrendHabit& h) { return cents_of(h.change.later); }},
    TrendHabitField{"later_ci95_cents", [](const TrendHabit& h) { return ci95_of(h.change.later); }},
    TrendHabitField{"change_cents", [](const TrendHabit& h) { return cents_of(h.change.change); }},
    TrendHabitField{"change_ci95_cents", [](const TrendHabit& h) { return ci95_of(h.change.change); }},
    TrendHabitField{"p", [](const TrendHabit& h) { return cell_of(h.change.p, p_decimals); }},
    TrendHabitField{"p_adjusted", [](const TrendHabit& h) { return cell_of(h.change.p_adjusted, p_decimals); }},
    TrendHabitField{"same_as", [](const TrendHabit& h) { return Cell(h.change.habit.row.aliases); }},
    TrendHabitField{"could_be", [](const TrendHabit& h) { return Cell(h.change.habit.row.confounders); }},
};

using DrillField = TrendField<TrendDrillPoint>;
constexpr std::array trend_drills{
    DrillField{"date", [](const TrendDrillPoint& d) { return cell_of(d.date); }},
    DrillField{"drill", [](const TrendDrillPoint& d) { return Cell(d.drill); }},
    DrillField{"takes", [](const TrendDrillPoint& d) { return Cell(d.takes); }},
    DrillField{"notes", [](const TrendDrillPoint& d) { return Cell(d.notes); }},
    DrillField{"judged", [](const TrendDrillPoint& d) { return Cell(d.judged); }},
    DrillField{"in_tune", [](const TrendDrillPoint& d) { return Cell(d.in_tune); }},
    DrillField{"most_in_a_row", [](const TrendDrillPoint& d) { return Cell(d.most_in_a_row); }},
    DrillField{"mean_cents", [](const TrendDrillPoint& d) { return cell_of(d.mean_cents, cents_decimals); }},
};

}  // namespace

std::span<const TrendField<TrendPoint>> trend_point_fields() {
  return trend_points;
}
std::span<const TrendField<TrendFigure>> trend_figure_fields() {
  return trend_figures;
}
std::span<const TrendField<TrendHabit>> trend_habit_fields() {
  return trend_habits;
}
std::span<const TrendField<TrendDrillPoint>> trend_drill_fields() {
  return trend_drills;
}

}  // namespace firmus::report
