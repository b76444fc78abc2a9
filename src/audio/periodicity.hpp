// How periodic a short excerpt is: cheap, coarse, good enough to tell voice from noise.
#pragma once
#include <span>
#include <vector>

namespace firmus::audio {

/// Pitches looked for: the low B of a double bass to high head voice; a higher tone is caught at a multiple of its
/// period.
inline constexpr double lowest_period_hz = 30, highest_period_hz = 1000;

/// Highest normalised autocorrelation (McLeod & Wyvill, ICMC 2005) past its first zero crossing, -1 to 1; 0 when it
/// never crosses. 1 is perfectly periodic; white noise over 100 ms gives about 0.2. Takes off the mean itself. The
/// excerpt must hold at least two periods of the lowest pitch to be found.
double periodicity(std::span<const float> excerpt, double rate_hz);

/// Takes the mean off; returns the root mean square of what remains.
double remove_mean(std::span<float> excerpt);

}  // namespace firmus::audio
