// Periodicity of a short excerpt: cheap and coarse, but sufficient to distinguish voice from noise.
#pragma once
#include <span>
#include <vector>

namespace firmus::audio {

/// Range of pitches: the low B of a double bass to high head voice. A higher tone is found at a multiple of its period.
inline constexpr double lowest_period_hz = 30, highest_period_hz = 1000;

/// Highest normalised autocorrelation (McLeod & Wyvill, ICMC 2005) past its first zero crossing, -1 to 1; 0 when it
/// never crosses. 1 is perfectly periodic; white noise over 100 ms gives about 0.2. The mean is subtracted first. The
/// excerpt must hold at least two periods of the lowest pitch.
double periodicity(std::span<const float> excerpt, double rate_hz);

/// Subtracts the mean; returns the RMS of the result.
double remove_mean(std::span<float> excerpt);

}  // namespace firmus::audio
