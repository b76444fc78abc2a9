// The takes of drills, by what they are drills of and by date.
#pragma once
#include <optional>
#include <vector>

#include "trend/trend.hpp"

namespace firmus::trend {

/// `takes`: of one student, each of a drill and measured.
std::vector<TrendDrills> follow_drills(const std::vector<const TrendTake*>& takes);

}  // namespace firmus::trend
