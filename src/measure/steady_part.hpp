// Which frames of a note are its steady part: attack, scoop, release and the glide into the next note are left out.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// `still_cents`: the series with vibrato taken off. The part reaches from where the pitch has arrived to where it
/// leaves; of the frames between the edges at least the middle half is always kept.
Part find_steady_part(const NoteSeries& series, const std::vector<double>& still_cents);

}  // namespace firmus::measure
