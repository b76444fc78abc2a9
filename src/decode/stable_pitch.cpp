#include "stable_pitch.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::decode {
namespace {

// Of 1,035 spoken syllables of the simulated singer 90 % stay within 90 cents for less than 195 ms, of 713 notes of
// annotated takes 5 % for less than 205 ms. Within 60 cents it would be 10 % of those notes, because of their vibrato.
constexpr float stable_within_cents = 90;

/// Frames from `first` on that are voiced and stay within `stable_within_cents`.
std::size_t run_from(const std::vector<float>& cents, std::size_t first) {
  float low = cents[first], high = low;
  std::size_t count = 0;
  for (; count < StablePitchRuns::enough_frames && first + count < cents.size(); ++count) {
    const float here = cents[first + count];
    low = std::min(low, here);
    high = std::max(high, here);
    if (std::isnan(here) || high - low > stable_within_cents) break;
  }
  return count;
}

}  // namespace

StablePitchRuns::StablePitchRuns(std::span<const float> f0_track_hz, std::span<const Boundary> boundaries)
    : boundaries_(boundaries), run_(f0_track_hz.size()), between_(boundaries.size()) {
  std::vector<float> cents(f0_track_hz.size());
  for (std::size_t i = 0; i < cents.size(); ++i)
    cents[i] = f0_track_hz[i] > 0 ? 1200 * std::log2(f0_track_hz[i] / 440.0F) : std::nanf("");
  for (std::size_t i = 0; i < cents.size(); ++i) run_[i] = run_from(cents, i);
  for (std::size_t b = 0; b < boundaries.size(); ++b)
    for (std::size_t i = frame_of(b); i < frame_of(b + 1); ++i) between_[b] = std::max(between_[b], run_[i]);
}

void StablePitchRuns::start_at(std::size_t end) {
  begin_ = end;
  end_frame_ = frame_of(end);
  longest_ = 0;
}

void StablePitchRuns::extend_back() {
  --begin_;
  if (longest_ >= enough_frames) return;
  const std::size_t next = frame_of(begin_ + 1);
  if (next + enough_frames <= end_frame_) {  // the end cuts off no run
    longest_ = std::max(longest_, between_[begin_]);
    return;
  }
  for (std::size_t i = frame_of(begin_); i < next; ++i)
    longest_ = std::max(longest_, std::min(run_[i], end_frame_ - i));
}

float sustained_share(std::size_t longest_frames, std::size_t voiced_frames) {
  constexpr std::size_t least_frames = 40;
  const std::size_t wanted = std::clamp(voiced_frames / 2, least_frames, StablePitchRuns::enough_frames);
  return static_cast<float>(longest_frames) / static_cast<float>(wanted);
}

}  // namespace firmus::decode
