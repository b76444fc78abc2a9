// Pitch candidates of one frame: the peaks of the normalised square difference.
#pragma once
#include <span>
#include <vector>

#include "firmus/evidence.hpp"
#include "real_fft.hpp"

namespace firmus {

/// Normalised square difference n(lag) = 2 sum x_j x_(j+lag) / sum (x_j^2 + x_(j+lag)^2) of a frame (McLeod & Wyvill,
/// ICMC 2005), by FFT. Its peaks, with parabolic interpolation, are the candidates.
class PitchCandidates {
 public:
  static constexpr int most = 7;                  ///< peaks kept, the best
  static constexpr float least_strength = 0.25F;  ///< lower peaks are noise

  explicit PitchCandidates(const PitchRange& range);
  /// Samples that a frame must have, at Samples::rate_hz: three periods of the lowest pitch, 48 ms at least.
  int frame_samples() const { return frame_samples_; }
  /// Appends the candidates of `frame` to `found`, the best first: strong ones, and of equals the shorter period.
  void find(std::span<const float> frame, std::vector<PitchCandidate>& found);

 private:
  void square_difference(std::span<const float> frame);
  int shortest_lag_, longest_lag_, frame_samples_;
  RealFft fft_;
  std::vector<float> nsd_;
};

}  // namespace firmus
