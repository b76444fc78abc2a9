// The slope of each figure of a student over the dates.
#pragma once
#include <span>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

/// The value of a figure at a point; none when it has none.
std::optional<double> value_of(const TrendPoint& point, TrendFigureKind kind);

/// Least-squares slope of each kind of figure that at least 3 points have, with p-values adjusted over all of them
/// (Holm 1979). Empty below 3 points.
std::vector<TrendFigure> figure_slopes(std::span<const TrendPoint> points);

}  // namespace firmus::trend
