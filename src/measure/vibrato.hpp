// Vibrato of a note: a sine in f0, fitted by least squares, so that the centre is that over whole cycles.
#pragma once
#include <optional>

#include "note_series.hpp"

namespace firmus::measure {

/// cents(t) = centre + slope (t - middle) + (a + a1 (t - middle)) cos + (b + b1 (t - middle)) sin; a1, b1 let extent
/// and rate change a little over the note.
struct VibratoFit {
  double rate_hz = 0, extent_cents = 0;
  double middle_s = 0;
  double residual_cents = 0;  ///< standard deviation of what it leaves
  double cosine = 0, sine = 0, cosine_slope = 0, sine_slope = 0;
  /// What vibrato adds at a time.
  double at(double time_s) const;
};

/// What vibrato adds to the mean of f0 over a part (0 over whole cycles): expectation and standard deviation.
struct VibratoMean {
  double cents = 0, se_cents = 0;
};
VibratoMean vibrato_mean(const VibratoFit& fit, const NoteSeries& series, Part part);

/// None when no vibrato of 4.5 to 8 Hz (Prame, JASA 1994; Sundberg) and 5 cents or more explains the part well.
std::optional<VibratoFit> fit_vibrato(const NoteSeries& series, Part part);

}  // namespace firmus::measure
