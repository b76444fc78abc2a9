// Pitch of low notes with vibrato, from their lowest harmonics alone.
#pragma once
#include <span>
#include <vector>

#include "pitch_candidates.hpp"

namespace firmus::evidence {

/// A vibrato of 80 cents moves a note of 40 Hz by 4 % from one period to the next. Harmonics 10 and up, where the
/// formants are, then repeat with no period; those below 100 Hz still do. Used only in frames whose full band shows no
/// clear pitch.
class LowBandCandidates {
 public:
  static constexpr double needed_below_hz = 50;  ///< lowest pitch searched: vibrato is harmless to higher ones

  explicit LowBandCandidates(const PitchRange& range) : candidates_(range) {}
  /// `found`, with the best candidate of the low band added at its end where none of `found` is clear.
  const PitchCandidates::Found& augment(const PitchCandidates::Found& found, std::span<const float> frame);

 private:
  bool filter(std::span<const float> frame);
  PitchCandidates candidates_;
  std::vector<float> low_band_;
  PitchCandidates::Found augmented_;
};

}  // namespace firmus::evidence
