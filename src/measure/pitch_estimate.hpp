// The pitch of a note: where its f0 lies, and the standard error of that.
#pragma once
#include <optional>
#include <vector>

#include "vibrato.hpp"

namespace firmus::measure {

struct PitchEstimate {
  double cents = 0;     ///< against the series' reference
  double se_cents = 0;  ///< standard error
  Part steady;          ///< the steady part, see steady_part.hpp
  std::optional<VibratoFit> vibrato;
  std::vector<double> vibrato_removed_cents;  ///< f0 without vibrato, one value for each frame of the series
};

/// Pitch of the note that sounds from onset_s to end_s: the median of f0 over the central window, vibrato removed where
/// it is regular (the steps and what enters the standard error: measure.hpp). None when the central window holds fewer
/// than 8 frames. The series has 12 frames or more. `usual`: the singer's vibrato where it is known.
std::optional<PitchEstimate> estimate_note_pitch(const NoteSeries& series, double onset_s, double end_s,
                                                 const std::optional<UsualVibrato>& usual = std::nullopt);

/// Standard deviation (divided by n) over the part.
double deviation_over(const std::vector<double>& values, Part part);

}  // namespace firmus::measure
