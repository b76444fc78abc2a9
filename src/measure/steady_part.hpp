// Which frames of a note are its steady part: attack, scoop, release and the glide into the next note are left out.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// The frames between attack and release, as far as the level shows them, less a scoop at the start and a glide at the
/// end: an end whose pitch lies 3.5 standard deviations of the note's drift off its line is cut to where the pitch has
/// settled. At least a quarter of the frames between attack and release is kept. `vibrato_removed_cents`: one value for
/// each frame of the series.
Part find_steady_part(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents);

}  // namespace firmus::measure
