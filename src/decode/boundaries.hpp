// Where a note could start: decoding chooses among these, never among frames.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

namespace firmus::decode {

struct Boundary {
  std::size_t frame = 0;
  float logit = 0;  ///< log odds of an onset there: the mean of the smoothed ones and those of all frames about it
};

/// `logits` through a triangle of 7 frames (35 ms).
std::vector<float> smooth_logits(std::span<const float> logits);

/// From log odds.
double probability(double logit);

/// Local maxima (25 ms either side) of the smoothed onset evidence over `least_logit`, and starts of voicing that none
/// of them is near. By time.
std::vector<Boundary> find_boundaries(std::span<const float> f0_track_hz, std::span<const float> onset_logits,
                                      float least_logit);

}  // namespace firmus::decode
