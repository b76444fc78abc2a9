#include "rumble_filter.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus {
namespace {

constexpr double corner_hz = 50.0;
constexpr double corner_share_of_lowest = 0.7;  // the lowest fundamental must pass
constexpr int block_samples = 16384;

}  // namespace

FilteredFrames::FilteredFrames(const Samples& samples, double lowest_hz, int width, int hop)
    : samples_(samples),
      count_(samples.size() / hop + (samples.size() > 0 ? 1 : 0)),
      width_(width),
      hop_(hop),
      begin_(-width / 2),
      filled_to_(-width / 2) {
  const double w =
      std::tan(std::numbers::pi * std::min(corner_hz, corner_share_of_lowest * lowest_hz) / Samples::rate_hz);
  const double norm = 1.0 / (1.0 + std::numbers::sqrt2 * w + w * w);  // bilinear transform of s^2 / (s^2 + sqrt2 s + 1)
  b0_ = norm;
  b1_ = -2.0 * norm;
  b2_ = norm;
  a1_ = 2.0 * (w * w - 1.0) * norm;
  a2_ = (1.0 - std::numbers::sqrt2 * w + w * w) * norm;
}

void FilteredFrames::read_block() {
  const std::int64_t keep_from = frame_ * hop_ - width_ / 2;
  buffer_.erase(buffer_.begin(), buffer_.begin() + (keep_from - begin_));
  begin_ = keep_from;
  const std::size_t kept = buffer_.size();
  buffer_.resize(kept + block_samples);
  const std::span<float> fresh(buffer_.data() + kept, block_samples);
  samples_.read(filled_to_, fresh);
  for (float& value : fresh) {
    const double in = value;
    const double out = b0_ * in + z1_;
    z1_ = b1_ * in - a1_ * out + z2_;
    z2_ = b2_ * in - a2_ * out;
    value = static_cast<float>(out);
  }
  filled_to_ += block_samples;
}

std::optional<std::span<const float>> FilteredFrames::next() {
  if (frame_ >= count_) return std::nullopt;
  const std::int64_t from = frame_ * hop_ - width_ / 2;
  while (from + width_ > filled_to_) read_block();
  ++frame_;
  return std::span<const float>(buffer_.data() + (from - begin_), static_cast<std::size_t>(width_));
}

}  // namespace firmus
