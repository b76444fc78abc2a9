// The window of what is measured in decibels.
#pragma once
#include <vector>

namespace firmus {

/// A Hann window of `samples`, centred between its two middle ones, under which a full-scale sine has a peak of 1 (0
/// dB).
std::vector<float> hann_window(int samples);

}  // namespace firmus
