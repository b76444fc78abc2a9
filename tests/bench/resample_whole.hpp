// Sound at another rate, as a whole: for peers that need one to be at their best.
#pragma once
#include <span>
#include <vector>

namespace firmus::bench {

/// So many samples over the same time: by one FFT, cut off or filled up with zeros. Its ends run into each other.
std::vector<float> resampled(std::span<const float> samples, std::size_t count);

}  // namespace firmus::bench
