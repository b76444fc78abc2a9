// Where in a take the key changes for good.
#pragma once
#include <span>
#include <vector>

namespace firmus::measure {

/// A straight line through errors over time.
struct TrendLine {
  double middle_s = 0, at_middle_cents = 0, cents_per_s = 0;
  double at(double time_s) const { return at_middle_cents + cents_per_s * (time_s - middle_s); }
};

/// A line needs at least this much to lean on; below, a constant stands for it.
inline constexpr int fewest_notes_for_slope = 12;
inline constexpr double least_seconds_for_slope = 10;

/// Index of the first note of each stretch; the first is 0. `errors_cents`: sung against written, by time. A change is
/// kept when a dynamic programme over all likely places finds the notes better explained by two lines than by one, the
/// step is at least 60 cents and at least 5 notes stay there.
std::vector<std::size_t> key_segment_starts(std::span<const double> time_s, std::span<const double> errors_cents);

}  // namespace firmus::measure
