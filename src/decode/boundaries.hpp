// Where a note may begin: the search chooses among these, not among all frames.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

namespace firmus::decode {

struct Boundary {
  std::size_t frame = 0;
  float logit = 0;  ///< log odds of an onset: mean of the smoothed ones there and of those of all frames about it
};

/// `logits` smoothed by a triangle of 7 frames (35 ms).
std::vector<float> smooth_logits(std::span<const float> logits);

/// Logistic function.
double probability(double logit);

/// Whether notes may be as short as 80 ms. Then a step between pitches that are stable for 30 ms begins a note too,
/// which in slower notes may be a scoop or vibrato.
enum class NoteLengths { usual, quick };

/// Local maxima (within 25 ms either way) of the smoothed log odds of onsets above `least_logit`; steps of the f0 track
/// between stable pitches; starts of voicing with none of the others within 50 ms; 0.3 s into each rest of more than
/// 1.5 s a place where a note may end (log odds of -7 at most). `f0_track_hz` and `onset_logits`:
/// one element a frame. By time.
std::vector<Boundary> find_boundaries(std::span<const float> f0_track_hz, std::span<const float> onset_logits,
                                      float least_logit, NoteLengths lengths = NoteLengths::usual);

}  // namespace firmus::decode
