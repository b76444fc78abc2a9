// What other stages need of a trend besides its figures.
#pragma once
#include <cstddef>
#include <optional>

#include "firmus/trend.hpp"

namespace firmus::trend {

inline constexpr std::size_t fewest_points = 3;  ///< that figures and their change are told from

/// The first and the last point with a judged note; none when no note was judged.
struct FirstAndLast {
  const TrendDrillPoint *first, *last;
};
std::optional<FirstAndLast> first_and_last(const TrendDrills& drills);

}  // namespace firmus::trend
