// How long the pitch stays level within a segment: sung notes hold a pitch, speech glides.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "boundaries.hpp"

namespace firmus::decode {

/// The longest run of voiced frames within a segment whose pitch stays within 90 cents, as natural vibrato does. Runs
/// longer than `enough_frames` count as that long. Segments grow backwards from their end.
class StablePitchRuns {
 public:
  static constexpr std::size_t enough_frames = 60;  ///< 300 ms
  StablePitchRuns(std::span<const float> f0_track_hz, std::span<const Boundary> boundaries);

  /// Starts a segment that ends at boundary `end`; extend_back() then moves its start one boundary earlier.
  void start_at(std::size_t end);
  void extend_back();
  std::size_t longest_frames() const { return longest_; }

 private:
  std::size_t frame_of(std::size_t boundary) const {
    return boundary < boundaries_.size() ? boundaries_[boundary].frame : run_.size();
  }
  std::span<const Boundary> boundaries_;
  std::vector<std::size_t> run_;      ///< from each frame on, `enough_frames` at most
  std::vector<std::size_t> between_;  ///< the longest that starts between boundary i and i + 1
  std::size_t begin_ = 0, end_frame_ = 0, longest_ = 0;
};

/// The longest stable run of a segment over the run that a sung note has at least: half of its voiced frames, within
/// 200 to 300 ms. From 1 on it is sung.
float sustained_share(std::size_t longest_frames, std::size_t voiced_frames);

}  // namespace firmus::decode
