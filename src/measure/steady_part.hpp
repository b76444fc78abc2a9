// Which frames of a note are its steady part: attack, scoop, release and the glide into the next note are left out.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// The steady part, and what the sound alone (level) would have left: where `part` is shorter, a scoop or a glide was
/// cut.
struct SteadyPart {
  Part part, sounding;
  double start_away_spreads = 0,
         end_away_spreads = 0;  ///< how far off the ends of `sounding` are, in spreads of wander
};

/// `still_cents`: the series with vibrato taken off. The part reaches from where the pitch has arrived to where it
/// leaves; at least a quarter of the sounding frames is always kept.
SteadyPart find_steady_part(const NoteSeries& series, const std::vector<double>& still_cents);

}  // namespace firmus::measure
