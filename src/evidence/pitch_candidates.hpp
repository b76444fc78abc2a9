// Pitch candidates of a frame: the peaks of the normalised square difference function (NSDF).
#pragma once
#include <array>
#include <span>
#include <vector>

#include "evidence/evidence.hpp"
#include "pair_fft.hpp"

namespace firmus::evidence {

/// Normalised square difference function n(lag) = 2 sum x_j x_(j+lag) / sum (x_j^2 + x_(j+lag)^2) of a frame (McLeod &
/// Wyvill, ICMC 2005), by FFT. Its peaks, with parabolic interpolation, are the candidates.
class PitchCandidates {
 public:
  static constexpr int most = Evidence::most_candidates;
  static constexpr float least_nsdf_peak = 0.25F;  ///< lower peaks are noise
  using Found = std::vector<PitchCandidate>;

  explicit PitchCandidates(const PitchRange& range);
  /// Samples that a frame must have, at Samples::rate_hz: three periods of the pitch from which frames are full, 48 ms
  /// at least.
  int frame_samples() const { return frame_samples_; }
  /// The candidates of two frames, best first: the highest peak, and of nearly equal ones the shorter period. Two
  /// frames share one transform.
  const std::array<Found, 2>& find(std::span<const float> first, std::span<const float> second);
  /// Of one frame.
  const Found& find(std::span<const float> frame) { return find(frame, {})[0]; }

 private:
  void search(std::span<const float> first, std::span<const float> second, double first_energy, double second_energy);
  void pick(std::span<const float> frame, double energy, const float* lag_sums, Found& found);
  void square_difference(std::span<const float> frame, double energy, const float* lag_sums);
  int shortest_lag_, longest_lag_, frame_samples_;
  PairFft fft_;
  std::vector<float> nsdf_, no_frame_;
  std::array<Found, 2> found_;
};

}  // namespace firmus::evidence
