// The centre of a note that is sung without a vibrato to be averaged over: the median of its middle.
#pragma once
#include <optional>

#include "steady_part.hpp"

namespace firmus::measure {

/// Where the vowel ends: `end_s`, or where its level falls for good, if that is more than a release earlier. What
/// follows, up to the next note, is a voiced consonant, a closed mouth or a room's tail.
double vowel_end(const NoteSeries& series, double end_s);

/// The frames of the middle three fifths of the note from onset to end, as far as it is steady.
Part central_window(const NoteSeries& series, Part steady, double onset_s, double end_s);

struct TrimmedMedian {
  double cents = 0;     ///< against the series' reference
  double se_cents = 0;  ///< from doubt about where the note begins and ends, and from the errors of single frames
};

/// Median of `vibrato_removed_cents` over the middle: untrained voices glide into and out of a note, and its middle is
/// what two independent measurements agree on. None under 8 frames.
std::optional<TrimmedMedian> trimmed_median(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents,
                                            Part steady, double onset_s, double end_s);

}  // namespace firmus::measure
