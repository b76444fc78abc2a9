// Resampling of a whole sound, for peers that work best at another rate.
#pragma once
#include <span>
#include <vector>

namespace firmus::bench {

/// Resamples to `count` samples over the same time by one FFT, its spectrum truncated or zero-padded. The sound is
/// treated as periodic.
std::vector<float> resampled(std::span<const float> samples, std::size_t count);

}  // namespace firmus::bench
