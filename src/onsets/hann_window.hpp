// The window of spectra in decibels.
#pragma once
#include <vector>

namespace firmus::onsets {

/// A Hann window of an even number of `samples`, symmetric about its middle, scaled so that a full-scale sine has a
/// spectral peak of 1 (0 dB).
std::vector<float> hann_window(int samples);

}  // namespace firmus::onsets
