#include "filtered_frames.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus::evidence {
namespace {

constexpr double rumble_corner_hz = 50.0;
constexpr double corner_share_of_lowest = 0.7;  // the lowest fundamental must pass
constexpr double settled_db = 120.0;

/// Time until the response to earlier samples has decayed by that much: the poles of a Butterworth filter have a real
/// part of corner / sqrt 2.
double settling_time_s(double corner) {
  return settled_db / 20 * std::numbers::ln10 * std::numbers::sqrt2 / (2 * std::numbers::pi * corner);
}

}  // namespace

FilteredFrames::FilteredFrames(double lowest_hz, int width, int hop) : width_(width), hop_(hop) {
  const double corner = std::min(rumble_corner_hz, corner_share_of_lowest * lowest_hz);
  const double w = std::tan(std::numbers::pi * corner / Samples::rate_hz);
  const double norm = 1.0 / (1.0 + std::numbers::sqrt2 * w + w * w);  // bilinear transform of s^2 / (s^2 + sqrt2 s + 1)
  b0_ = norm;
  b1_ = -2.0 * norm;
  b2_ = norm;
  a1_ = 2.0 * (w * w - 1.0) * norm;
  a2_ = (1.0 - std::numbers::sqrt2 * w + w * w) * norm;
  lead_ = static_cast<std::int64_t>(settling_time_s(corner) * Samples::rate_hz);
}

void FilteredFrames::load(const Samples& samples, std::int64_t first_frame, std::int64_t frames) {
  first_frame_ = first_frame;
  buffer_.resize(static_cast<std::size_t>(lead_ + (frames - 1) * hop_ + width_));
  samples.read(first_frame * hop_ - width_ / 2 - lead_, buffer_);
  double z1 = 0, z2 = 0;
  for (float& value : buffer_) {
    const double in = value;
    const double out = b0_ * in + z1;
    z1 = b1_ * in - a1_ * out + z2;
    z2 = b2_ * in - a2_ * out;
    value = static_cast<float>(out);
  }
}

}  // namespace firmus::evidence
