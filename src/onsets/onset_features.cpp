#include "onset_features.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

namespace firmus::onsets {
namespace {

// The pitch that follows is the median over 20 to 100 ms after the frame: after the attack, before the next note.
constexpr std::size_t follow_from = 4, follow_to = 20;
constexpr float pitch_clip_semitones = 3.0F;

}  // namespace

NetInputs::NetInputs(std::span<const FrameFeatures> features, std::span<const float> f0_track_hz)
    : features_(features), semitones_(f0_track_hz.size()), voiced_(f0_track_hz.size()) {
  for (std::size_t i = 0; i < f0_track_hz.size(); ++i) {
    voiced_[i] = f0_track_hz[i] > 0;
    if (voiced_[i]) semitones_[i] = 12.0F * std::log2(f0_track_hz[i] / 440.0F);
  }
}

float NetInputs::following_pitch(std::size_t frame) const {
  std::array<float, follow_to - follow_from + 1> seen{};
  std::size_t count = 0;
  for (std::size_t i = frame + follow_from; i <= frame + follow_to && i < semitones_.size(); ++i)
    if (voiced_[i]) seen[count++] = semitones_[i];
  if (count == 0) return std::numeric_limits<float>::quiet_NaN();
  const auto middle = seen.begin() + static_cast<std::ptrdiff_t>(count / 2);
  std::nth_element(seen.begin(), middle, seen.begin() + static_cast<std::ptrdiff_t>(count));
  return *middle;
}

void NetInputs::fill(std::size_t frame, std::span<float, net_inputs> out) const {
  const float follows = following_pitch(frame);
  auto at = out.begin();
  const auto last = static_cast<std::ptrdiff_t>(features_.size()) - 1;
  for (const int offset : context_offsets) {
    const auto there =
        static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(frame) + offset, 0, last));
    std::memcpy(&*at, features_[there].data(), sizeof(FrameFeatures));
    at += frame_features;
    const bool known = voiced_[there] && !std::isnan(follows);
    const float interval =
        known ? std::clamp(semitones_[there] - follows, -pitch_clip_semitones, pitch_clip_semitones) : 0.0F;
    *at++ = interval;
    *at++ = std::abs(interval);
    *at++ = known ? 0.0F : 1.0F;
  }
}

}  // namespace firmus::onsets
