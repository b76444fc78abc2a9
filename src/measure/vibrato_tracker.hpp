// Vibrato that a fitted sine leaves: a quasi-periodic component of f0 whose extent and phase drift.
#pragma once
#include <vector>

#include "vibrato.hpp"

namespace firmus::measure {

struct VibratoTrack {
  /// Posterior mean of the vibrato at each frame of the series, 0 outside the part. Empty where the probability of a
  /// vibrato is below 0.1.
  std::vector<double> cents;
  bool certain = false;      ///< probability of 0.99 or more
  double mean_se_cents = 0;  ///< standard error of the mean over the window: after removal if certain, else before
};

/// Bayesian model average over a grid of models: random-walk drift alone, drift and a slow oscillation (1.5 or 3 Hz),
/// or drift and vibrato (3 to 7.5 Hz), each oscillation a damped stochastic oscillator, all observed with white
/// noise. Models are weighted by prior times likelihood (Kalman filter); the vibrato is the weighted mean of the
/// smoothed oscillations (Rauch-Tung-Striebel smoother: Rauch, Tung & Striebel, AIAA Journal 3(8), 1965). `cents`: one
/// value for each frame of the series. With a usual vibrato
/// the models hold rates and extents near it, and vibrato is likely from the start. An empty track without standard
/// error where the part has fewer than 43 frames (16 with a usual vibrato).
VibratoTrack track_vibrato(const NoteSeries& series, const std::vector<double>& cents, Part part, Part window,
                           const std::optional<UsualVibrato>& usual = std::nullopt);

}  // namespace firmus::measure
