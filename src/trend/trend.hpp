// What other stages use of this one besides its public header.
#pragma once
#include <cstddef>
#include <optional>

#include "firmus/trend.hpp"

namespace firmus::trend {

inline constexpr std::size_t fewest_points = 3;  ///< needed for the slope of a figure and for comparing habits

/// The first and the last point with a judged note; none when no note was judged.
struct FirstAndLast {
  const TrendDrillPoint *first, *last;
};
std::optional<FirstAndLast> first_and_last(const TrendDrills& drills);

}  // namespace firmus::trend
