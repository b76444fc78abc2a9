// What the tables and the JSON of a trend hold, in order.
#pragma once
#include <span>
#include <string_view>

#include "firmus/trend.hpp"
#include "report/cell.hpp"

namespace firmus::report {

template <class Row>
struct TrendField {
  std::string_view name;  ///< CSV column and JSON key
  Cell (*get)(const Row&);
};

std::span<const TrendField<TrendPoint>> trend_point_fields();
std::span<const TrendField<TrendFigure>> trend_figure_fields();
std::span<const TrendField<TrendHabit>> trend_habit_fields();
std::span<const TrendField<TrendDrillPoint>> trend_drill_fields();

}  // namespace firmus::report
