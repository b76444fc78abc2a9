// Change points: where in a take the key changes for good.
#pragma once
#include <span>
#include <vector>

namespace firmus::measure {

/// A straight line through errors over time.
struct TrendLine {
  double middle_s = 0, at_middle_cents = 0, cents_per_s = 0;
  double at(double time_s) const { return at_middle_cents + cents_per_s * (time_s - middle_s); }
};

/// A slope is fitted from this many notes and seconds on; to less, a constant.
inline constexpr int fewest_notes_for_slope = 12;
inline constexpr double least_seconds_for_slope = 10;

/// Index of the first note of each key segment; the first is 0. `errors_cents`: sung against written, by time, as many
/// as `time_s`. Penalised change-point detection by dynamic programming over candidate places (segmentation cost:
/// capped squares about a robust line); a change is kept where the step is at least 60 cents and 5 notes or more
/// follow.
///
/// `phrase_starts`: indices of the first note of each phrase, the first is 0; empty where no phrases are written. Where
/// a step of the same size from each phrase to the next (at least 3 phrases of 3 notes) explains the errors better,
/// each phrase is a segment.
std::vector<std::size_t> key_segment_starts(std::span<const double> time_s, std::span<const double> errors_cents,
                                            std::span<const std::size_t> phrase_starts = {});

}  // namespace firmus::measure
