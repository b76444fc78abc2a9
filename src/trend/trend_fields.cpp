#include "trend_fields.hpp"

#include <array>

namespace firmus::trend {
namespace {

using report::Cell;
using report::cell_of;
using report::Number;

constexpr int cents_decimals = 1, slope_decimals = 2, share_decimals = 4, weeks_decimals = 2, p_decimals = 6;

Cell interval_of(const std::optional<EstimateWithCi>& size) {
  if (!size) return {};
  return std::pair(Number{size->ci95.first, cents_decimals}, Number{size->ci95.second, cents_decimals});
}
Cell cents_of(const std::optional<EstimateWithCi>& size) {
  return size ? Cell(Number{size->cents, cents_decimals}) : Cell();
}

int decimals_of(const TrendFigure& figure) {
  return figure.kind == TrendFigureKind::in_tune_share ? share_decimals : slope_decimals;
}

using P = TrendField<TrendPoint>;
constexpr std::array points{
    P{"date", [](const TrendPoint& p) { return cell_of(p.date); }},
    P{"weeks",
      [](const TrendPoint& p) {
        return Cell(Number{p.weeks, weeks_decimals});
      }},
    P{"takes", [](const TrendPoint& p) { return Cell(p.takes); }},
    P{"judged", [](const TrendPoint& p) { return Cell(p.judged); }},
    P{"in_tune", [](const TrendPoint& p) { return Cell(p.in_tune); }},
    P{"in_tune_share", [](const TrendPoint& p) { return cell_of(p.in_tune_share, share_decimals); }},
    P{"mean_abs_cents", [](const TrendPoint& p) { return cell_of(p.mean_abs_cents, cents_decimals); }},
    P{"accuracy_cents", [](const TrendPoint& p) { return cell_of(p.accuracy_cents, cents_decimals); }},
    P{"precision_cents", [](const TrendPoint& p) { return cell_of(p.precision_cents, cents_decimals); }},
    P{"centre_cents", [](const TrendPoint& p) { return cell_of(p.centre_cents, cents_decimals); }},
    P{"drift_cents_per_minute", [](const TrendPoint& p) { return cell_of(p.drift_cents_per_minute, cents_decimals); }},
};

using F = TrendField<TrendFigure>;
constexpr std::array figures{
    F{"figure", [](const TrendFigure& f) { return Cell(std::string(to_string(f.kind))); }},
    F{"first",
      [](const TrendFigure& f) {
        return Cell(Number{f.first, decimals_of(f)});
      }},
    F{"last",
      [](const TrendFigure& f) {
        return Cell(Number{f.last, decimals_of(f)});
      }},
    F{"per_week",
      [](const TrendFigure& f) {
        return Cell(Number{f.per_week, decimals_of(f)});
      }},
    F{"ci95",
      [](const TrendFigure& f) {
        return Cell(std::pair(Number{f.ci95.first, decimals_of(f)}, Number{f.ci95.second, decimals_of(f)}));
      }},
    F{"p",
      [](const TrendFigure& f) {
        return Cell(Number{f.p, p_decimals});
      }},
    F{"p_adjusted",
      [](const TrendFigure& f) {
        return Cell(Number{f.p_adjusted, p_decimals});
      }},
};

using H = TrendField<TrendHabit>;
constexpr std::array habits{
    H{"fate", [](const TrendHabit& h) { return Cell(std::string(to_string(h.change.fate))); }},
    H{"group", [](const TrendHabit& h) { return Cell(h.change.habit.row.group); }},
    H{"name", [](const TrendHabit& h) { return Cell(h.change.habit.row.name); }},
    H{"direction",
      [](const TrendHabit& h) {
        const auto& direction = h.change.habit.row.direction;
        return direction ? Cell(std::string(to_string(*direction))) : Cell();
      }},
    H{"count", [](const TrendHabit& h) { return Cell(h.change.habit.row.count); }},
    H{"same_way", [](const TrendHabit& h) { return Cell(h.change.habit.row.same_way); }},
    H{"mean_cents",
      [](const TrendHabit& h) {
        return Cell(Number{h.change.habit.row.mean_cents, cents_decimals});
      }},
    H{"earlier_cents", [](const TrendHabit& h) { return cents_of(h.change.earlier); }},
    H{"earlier_ci95_cents", [](const TrendHabit& h) { return interval_of(h.change.earlier); }},
    H{"later_cents", [](const TrendHabit& h) { return cents_of(h.change.later); }},
    H{"later_ci95_cents", [](const TrendHabit& h) { return interval_of(h.change.later); }},
    H{"change_cents", [](const TrendHabit& h) { return cents_of(h.change.change); }},
    H{"change_ci95_cents", [](const TrendHabit& h) { return interval_of(h.change.change); }},
    H{"p", [](const TrendHabit& h) { return cell_of(h.change.p, p_decimals); }},
    H{"p_adjusted", [](const TrendHabit& h) { return cell_of(h.change.p_adjusted, p_decimals); }},
    H{"same_as", [](const TrendHabit& h) { return Cell(h.change.habit.row.same_as); }},
    H{"could_be", [](const TrendHabit& h) { return Cell(h.change.habit.row.could_be); }},
};

using D = TrendField<TrendDrillPoint>;
constexpr std::array drills{
    D{"date", [](const TrendDrillPoint& d) { return cell_of(d.date); }},
    D{"drill", [](const TrendDrillPoint& d) { return Cell(d.drill); }},
    D{"takes", [](const TrendDrillPoint& d) { return Cell(d.takes); }},
    D{"notes", [](const TrendDrillPoint& d) { return Cell(d.notes); }},
    D{"judged", [](const TrendDrillPoint& d) { return Cell(d.judged); }},
    D{"in_tune", [](const TrendDrillPoint& d) { return Cell(d.in_tune); }},
    D{"most_in_a_row", [](const TrendDrillPoint& d) { return Cell(d.most_in_a_row); }},
    D{"mean_cents", [](const TrendDrillPoint& d) { return cell_of(d.mean_cents, cents_decimals); }},
};

}  // namespace

std::span<const TrendField<TrendPoint>> point_fields() {
  return points;
}
std::span<const TrendField<TrendFigure>> figure_fields() {
  return figures;
}
std::span<const TrendField<TrendHabit>> habit_fields() {
  return habits;
}
std::span<const TrendField<TrendDrillPoint>> drill_fields() {
  return drills;
}

}  // namespace firmus::trend
