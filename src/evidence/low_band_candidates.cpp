#include "low_band_candidates.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus::evidence {
namespace {

// Measured on tones of 41 and 65 Hz with a vibrato of 80 cents, clean and in noise (tests/bench): all frames right.
constexpr double corner_hz = 100;            ///< of two one-pole filters in a row
constexpr double low_band_highest_hz = 100;  ///< higher notes are clear in the full band
constexpr float clear_nsdf_peak = 0.8F;      ///< of a candidate in the full band: nothing is added
constexpr float penalty = 0.1F;  ///< off the peak: a sound without its fundamental shows an octave too high here
constexpr double least_low_share = 0.03;  ///< of the frame's energy: white noise has half of it there

}  // namespace

/// Fills `low_band_`. Returns whether it holds a share of the energy that only a low note has.
bool LowBandCandidates::filter(std::span<const float> frame) {
  const auto pole = static_cast<float>(std::exp(-2 * std::numbers::pi * corner_hz / Samples::rate_hz));
  const float gain = 1 - pole;
  low_band_.resize(frame.size());
  float first = 0, second = 0;
  double whole = 0, low = 0;
  for (std::size_t i = 0; i < frame.size(); ++i) {
    first = pole * first + gain * frame[i];
    second = pole * second + gain * first;
    low_band_[i] = second;
    whole += static_cast<double>(frame[i] * frame[i]);
    low += static_cast<double>(second * second);
  }
  return low > least_low_share * whole;
}

const PitchCandidates::Found& LowBandCandidates::augment(const PitchCandidates::Found& found,
                                                         std::span<const float> frame) {
  const auto is_clear = [](const PitchCandidate& candidate) { return candidate.nsdf_peak > clear_nsdf_peak; };
  if (std::ranges::any_of(found, is_clear) || !filter(frame)) return found;
  const auto& low = candidates_.find(low_band_);
  if (low.empty() || low.front().f0_hz > low_band_highest_hz) return found;
  augmented_ = found;
  if (augmented_.size() == PitchCandidates::most) augmented_.pop_back();
  augmented_.push_back({low.front().f0_hz, low.front().nsdf_peak - penalty});
  return augmented_;
}

}  // namespace firmus::evidence
