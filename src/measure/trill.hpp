// Trills: a note that goes back and forth between two pitches has no single one.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// Whether f0 alternates between two pitches, 70 cents or more apart, 4 to 12 times a second, and stays at each.
/// Vibrato goes to and fro as fast and as far, but most of its time is spent on the way.
bool is_trill(const NoteSeries& series);

}  // namespace firmus::measure
