// How well the f0 of a segment fits a written pitch in a key, for all keys at once.
#pragma once
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "decode/decode.hpp"

namespace firmus::decode {

/// Likelihood of the sung pitch over a grid of 25 cents, summed between boundaries. The best fit to a written pitch p,
/// max over q of [log-likelihood of q - |q - p| / 60 cents, the latter capped], is a distance transform of that sum
/// (Felzenszwalb & Huttenlocher 2012), so one segment costs two passes over the grid, whatever the number of keys.
class SegmentPitch {
 public:
  SegmentPitch(const Observations& observed, std::span<const Boundary> boundaries);

  static constexpr double grid_cents = 25;
  /// Index on the grid of a pitch in cents (100 x MIDI key); may be outside.
  int grid_at(double pitch_cents) const {
    constexpr int above_all = 1 << 16;  // keeps it positive: then the cast rounds down, and costs less than a floor
    return static_cast<int>((pitch_cents - lowest_cents_) / grid_cents + 0.5 + above_all) - above_all;
  }

  /// Starts a segment that ends at boundary `end`; extend_back() then moves its start one boundary earlier each time.
  void start_at(std::size_t end);
  void extend_back();
  /// Frees what is only needed for segments that begin before boundary `begin`.
  void forget_before(std::size_t begin);
  int voiced_frames() const { return voiced_; }
  /// Computes the fit of the present segment to the written pitch at every grid index; outside the grid it is the
  /// capped fit.
  void transform();
  float fit(int p) const { return p < 0 || p >= size_ ? capped_ : fit_[static_cast<std::size_t>(p)]; }
  /// Fit to the best pitch of all, with no deviation from it.
  float free_fit() const { return best_; }

 private:
  void gather(std::size_t from);
  void add_bump(std::vector<float>& sums, float hz, float share) const;
  const Observations observed_;  ///< itself only references, so that a caller may pass a temporary
  std::span<const Boundary> boundaries_;
  double lowest_cents_;
  int size_;
  std::vector<std::vector<float>> between_;  ///< summed log-likelihood from boundary i to i + 1; empty: not needed yet
  std::vector<int> voiced_between_;
  std::size_t forgotten_ = 0;  ///< boundaries before it are freed
  std::size_t begin_ = 0;
  std::vector<float> sum_, fit_;
  int voiced_ = 0;
  float best_ = 0, capped_ = 0;
};

}  // namespace firmus::decode
