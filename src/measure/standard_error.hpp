// How far the centre of a note may be from the truth.
#pragma once
#include "note_series.hpp"

namespace firmus::measure {

/// Standard error in cents of the mean of `still_cents` over `part`: what the choice of the steady part could have
/// moved it by, and what the errors of the frames leave in the mean.
double standard_error(const NoteSeries& series, const std::vector<double>& still_cents, Part part);

}  // namespace firmus::measure
