// Where a note's pitch lies: the centre of its f0 and how far it may be from the truth.
#pragma once
#include <optional>
#include <vector>

#include "vibrato.hpp"

namespace firmus::measure {

struct PitchEstimate {
  double cents = 0;     ///< against the series' reference
  double se_cents = 0;  ///< standard error
  Part part;            ///< the steady part
  std::optional<VibratoFit> vibrato;
  std::vector<double> vibrato_removed_cents;  ///< the series with vibrato taken off
};

/// Centre of the note that sounds from onset_s to end_s; the series has frames enough to tell (12).
PitchEstimate estimate_note_pitch(const NoteSeries& series, double onset_s, double end_s);

double mean_over(const std::vector<double>& values, Part part);
double deviation_over(const std::vector<double>& values, Part part);  ///< standard deviation

}  // namespace firmus::measure
