// How the figures of a student change over the points.
#pragma once
#include <span>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

std::optional<double> value_of(const TrendPoint& point, TrendFigureKind kind);

/// One figure for each kind that at least 3 points have; empty under 3 points.
std::vector<TrendFigure> change_of_figures(std::span<const TrendPoint> points);

}  // namespace firmus::trend
