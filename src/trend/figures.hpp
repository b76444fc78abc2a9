// The slope of each figure of a student over the dates.
#pragma once
#include <span>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

std::optional<double> value_of(const TrendPoint& point, TrendFigureKind kind);

/// Least-squares slope of each kind of figure that at least 3 points have, p-values adjusted over all of them (Holm
/// 1979). Empty under 3 points.
std::vector<TrendFigure> figure_slopes(std::span<const TrendPoint> points);

}  // namespace firmus::trend
