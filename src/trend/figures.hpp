// The slope of each figure of a student over the dates.
#pragma once
#include <span>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

/// The value of a figure at a point; none when it has none.
std::optional<double> value_of(const TrendPoint& point, TrendFigureKind kind);

/// Slope of each kind of figure that at least 3 points have. The mean absolute error is tested alone; the p-values of
/// the others are adjusted over these (Holm 1979). Empty below 3 points.
std::vector<TrendFigure> figure_slopes(std::span<const TrendPoint> points);

}  // namespace firmus::trend
