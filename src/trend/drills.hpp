// Takes of drills, grouped by the fault that they practise and by date.
#pragma once
#include <optional>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

/// `takes`: of one student, each of a drill and measured.
std::vector<TrendDrills> drill_trends(const std::vector<const TrendTake*>& takes);

}  // namespace firmus::trend
