// Which frames of a note are its steady part: attack, scoop, release and the glide into the next note are left out.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// The steady part, what the sound alone (level) would have left, and what would be left if whatever lies off the
/// centre at the ends were a scoop or a glide. At each end `part` is one or the other.
struct SteadyPart {
  Part part, sounding, settled;
  double start_z_score = 0;  ///< how far off the first frames of `sounding` are, in spreads of wander
  double end_z_score = 0;
};

/// From here an end off the centre is taken for a scoop or a glide; nearer, wander is likelier.
inline constexpr double cut_from_z_score = 3.5;

/// `vibrato_removed_cents`: the series with vibrato taken off. The part reaches from where the pitch has arrived to
/// where it leaves; at least a quarter of the sounding frames is always kept.
SteadyPart find_steady_part(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents);

}  // namespace firmus::measure
