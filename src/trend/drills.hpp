// The takes of drills, by what they are drills of and by date.
#pragma once
#include <optional>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::trend {

/// `takes`: of one student, each of a drill and measured.
std::vector<TrendDrills> follow_drills(const std::vector<const TrendTake*>& takes);

/// The first and the last of them with a judged note; none when no note was judged.
struct FirstAndLast {
  const TrendDrillPoint *first, *last;
};
std::optional<FirstAndLast> first_and_last(const TrendDrills& drills);

}  // namespace firmus::trend
