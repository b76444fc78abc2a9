// What vibrato that a fitted sine leaves, however small and however it comes and goes, adds to f0 at each moment.
#pragma once
#include <vector>

#include "note_series.hpp"

namespace firmus::measure {

struct VibratoTrack {
  /// One for each frame of the series: expected swing there; 0 outside the part. Empty where a swing at the rate of
  /// vibrato is hardly likely.
  std::vector<double> cents;
  bool sure = false;         ///< it explains the part far better than wander alone does
  double mean_se_cents = 0;  ///< what it leaves in the mean over the middle: even when it is not taken off
};

/// Wander is a random walk or a slow swing, vibrato a swing whose extent and phase drift (a damped oscillator driven by
/// noise), both seen through the errors of single frames: Kalman filter and Rauch-Tung-Striebel smoother (Rauch, Tung &
/// Striebel, AIAA Journal 3(8), 1965), averaged over rates, extents and strengths of wander by how well each explains
/// the part.
VibratoTrack track_vibrato(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window);

}  // namespace firmus::measure
