// Pitch of low notes that move: their lowest harmonics alone.
#pragma once
#include <span>
#include <vector>

#include "pitch_candidates.hpp"

namespace firmus {

/// A vibrato of 80 cents moves a note of 40 Hz by 4 % from one period to the next: harmonics 10 and up, where the
/// formants are, then match no period. What lies under 100 Hz still does. Looked at only where the whole frame shows no
/// clear pitch.
class LowPart {
 public:
  static constexpr double needed_below_hz = 50;  ///< lowest pitch searched: above it vibrato does no harm

  explicit LowPart(const PitchRange& range) : candidates_(range) {}
  /// The candidates found in the frame, and the one of its low part where they are weak.
  const PitchCandidates::Found& completed(const PitchCandidates::Found& found, std::span<const float> frame);

 private:
  bool take_low_part(std::span<const float> frame);
  PitchCandidates candidates_;
  std::vector<float> low_;
  PitchCandidates::Found completed_;
};

}  // namespace firmus
