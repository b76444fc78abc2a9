// The central window of a note, and the median of f0 over it with its standard error.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// End of the vowel: `end_s`, or the time at which the level falls 8 dB below the note's median for good, where that is
/// more than 30 ms earlier. What follows up to the next note is a voiced consonant, a closed mouth or reverberation.
double vowel_end(const NoteSeries& series, double end_s);

/// The frames of `within` that lie in the middle three fifths of the time from onset_s to end_s.
Part central_window(const NoteSeries& series, Part within, double onset_s, double end_s);

/// A central window of fewer frames (40 ms) gives no pitch.
inline constexpr std::size_t fewest_window_frames = 8;

struct TrimmedMedian {
  double cents = 0;     ///< against the series' reference
  double se_cents = 0;  ///< standard error
};

/// Median of `cents` (one value for each frame) over the central window, which must hold at least
/// `fewest_window_frames`. The median of the middle bears the glides at either end. Its variance is the sum of: a floor
/// of 0.1 cents; the mean square change of the median when onset and end are shifted as they err; the second-difference
/// noise variance of the frames (noise_variance.hpp).
TrimmedMedian trimmed_median(const NoteSeries& series, const std::vector<double>& cents, double onset_s, double end_s);

}  // namespace firmus::measure
