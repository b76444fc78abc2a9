#include "low_part.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus {
namespace {

// Measured on tones of 41 and 65 Hz with a vibrato of 80 cents, clean and in noise (tests/bench): all frames right.
constexpr double corner_hz = 100;            ///< of two one-pole filters in a row
constexpr double low_band_highest_hz = 100;  ///< higher notes are clear in the whole frame
constexpr float clear_strength = 0.8F;       ///< of a candidate in the whole frame: nothing is added
constexpr float less_trusted = 0.1F;      ///< taken off: a sound without its fundamental shows an octave too high here
constexpr double least_low_share = 0.03;  ///< of the frame's energy: white noise has half of it there

}  // namespace

bool LowPart::take_low_part(std::span<const float> frame) {
  const auto pole = static_cast<float>(std::exp(-2 * std::numbers::pi * corner_hz / Samples::rate_hz));
  const float gain = 1 - pole;
  low_.resize(frame.size());
  float first = 0, second = 0;
  double whole = 0, low = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    first = pole * first + gain * frame[i];
    second = pole * second + gain * first;
    low_[i] = second;
    whole += static_cast<double>(frame[i] * frame[i]);
    low += static_cast<double>(second * second);
  }
  return low > least_low_share * whole;
}

const PitchCandidates::Found& LowPart::completed(const PitchCandidates::Found& found, std::span<const float> frame) {
  const auto is_clear = [](const PitchCandidate& candidate) { return candidate.strength > clear_strength; };
  if (std::ranges::any_of(found, is_clear) || !take_low_part(frame)) return found;
  const auto& low = candidates_.find(low_);
  if (low.empty() || low.front().f0_hz > low_band_highest_hz) return found;
  completed_ = found;
  if (completed_.size() == PitchCandidates::most) completed_.pop_back();
  completed_.push_back({low.front().f0_hz, low.front().strength - less_trusted});
  return completed_;
}

}  // namespace firmus
