// Vibrato of a note as a sine in f0, fitted by least squares.
#pragma once
#include <optional>

#include "note_series.hpp"

namespace firmus::measure {

/// Model: cents(t) = centre + slope (t - middle) + (a + a1 (t - middle)) cos + (b + b1 (t - middle)) sin; a1, b1 let
/// extent and rate change a little over the note.
struct VibratoFit {
  double rate_hz = 0;
  double extent_cents = 0;  ///< amplitude of the sine, half of peak to peak
  double middle_s = 0;
  double residual_cents = 0;  ///< standard deviation of the residuals
  double cosine = 0, sine = 0, cosine_slope = 0, sine_slope = 0;
  /// Cents that vibrato adds to f0 at a time.
  double at(double time_s) const;
};

/// Standard error in cents that the fit leaves in the mean of f0 over a part, once the fitted vibrato is removed.
double vibrato_mean_se(const VibratoFit& fit, const NoteSeries& series, Part part);

/// Slower than this (4.5 Hz and the error of one note's rate) it is the wobble of tired and untrained voices. With
/// fewer cycles than these it cannot be told from a bend of the pitch.
inline constexpr double slowest_vibrato_hz = 4.4, least_wobble_cycles = 2;

/// What a singer's vibrato is like over a take, found in the notes that hold several cycles of it.
struct UsualVibrato {
  double rate_hz = 0, rate_sd_hz = 0;
  double extent_cents = 0;  ///< either way
};

/// None unless an oscillation of 2.8 to 8 Hz (vibrato: Prame, JASA 1994; Sundberg; wobble below) and 5 cents or more,
/// over at least 1.2 cycles (2 below 4.4 Hz), explains 60 % of the variance about a straight line. With a usual vibrato
/// only rates near it are fitted, over at least 0.8 cycles.
std::optional<VibratoFit> fit_vibrato(const NoteSeries& series, Part part,
                                      const std::optional<UsualVibrato>& usual = std::nullopt);

}  // namespace firmus::measure
