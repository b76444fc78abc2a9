// What the tables and the JSON of a trend hold, in order.
#pragma once
#include <span>
#include <string_view>

#include "firmus/trend.hpp"
#include "report/cell.hpp"

namespace firmus::trend {

template <class Row>
struct TrendField {
  std::string_view name;  ///< CSV column and JSON key
  report::Cell (*get)(const Row&);
};

std::span<const TrendField<TrendPoint>> point_fields();
std::span<const TrendField<TrendFigure>> figure_fields();
std::span<const TrendField<TrendHabit>> habit_fields();
std::span<const TrendField<TrendDrillPoint>> drill_fields();

}  // namespace firmus::trend
