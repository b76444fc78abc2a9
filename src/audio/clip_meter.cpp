#include "clip_meter.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::audio {
namespace {

/// Samples this close to a run's maximum belong to the run: rounding errors, and the ripple of a limiter.
constexpr float top_share = 0.002F;
constexpr float top_quanta = 1.5F;
/// Any peak may have a run of fewer samples.
constexpr std::size_t shortest_run = 3;
/// Half the length of a run before its begin and after its end, an unclipped peak has fallen by at most 4 tolerances, a
/// clipped one by more.
constexpr float edge_tolerances = 8;
constexpr std::size_t longest_reach = 16;
/// Samples kept on both sides of the part that is scanned; a longer run is counted in two parts.
constexpr std::size_t margin = 1024;
constexpr std::size_t stride = 256;

}  // namespace

void ClipMeter::add(std::span<const float> block) {
  if (scanned_ > margin) {
    const std::size_t spare = scanned_ - margin;
    window_.erase(window_.begin(), window_.begin() + static_cast<std::ptrdiff_t>(spare));
    scanned_ = margin;
    for (Side* side : {&upper_, &lower_}) side->scanned_to -= std::min(side->scanned_to, spare);
  }
  window_.insert(window_.end(), block.begin(), block.end());
  if (window_.size() > scanned_ + margin) scan(scanned_, window_.size() - margin);
}

ClipMeter::Reading ClipMeter::finish() {
  scan(scanned_, window_.size());
  Reading reading;
  for (const Side* side : {&upper_, &lower_}) {
    const float tolerance = std::max(top_quanta * quantum_, top_share * side->extreme);
    if (side->extreme <= side->clip_level + tolerance) {
      reading.clipped_samples += side->samples;
      reading.runs += side->runs;
    }
    reading.extreme = std::max(reading.extreme, static_cast<double>(side->extreme));
  }
  return reading;
}

namespace {

bool any_outside(std::span<const float> values, float lowest, float highest) {
  int found = 0;
#pragma omp simd reduction(| : found)
  for (std::size_t i = 0; i < values.size(); ++i)
    found |= static_cast<int>(values[i] >= highest) | static_cast<int>(values[i] <= lowest);
  return found != 0;
}

}  // namespace

/// Examines single samples only in strides that come near the extreme found so far, which are few.
void ClipMeter::scan(std::size_t begin, std::size_t end) {
  const auto near = [&](const Side& side) { return side.extreme * (1 - 2 * top_share) - top_quanta * quantum_; };
  for (; begin < end; begin += stride) {
    const std::size_t stop = std::min(begin + stride, end);
    const std::span<const float> values(window_.data() + begin, stop - begin);
    if (!any_outside(values, -near(lower_), near(upper_))) continue;
    scan_side(upper_, 1, begin, stop);
    scan_side(lower_, -1, begin, stop);
  }
  scanned_ = std::max(scanned_, end);
}

void ClipMeter::scan_side(Side& side, float sign, std::size_t begin, std::size_t end) {
  for (std::size_t i = std::max(begin, side.scanned_to); i < end; ++i) {
    const float value = sign * window_[i];
    const float tolerance = std::max(top_quanta * quantum_, top_share * side.extreme);
    if (value <= 0 || value < side.extreme - tolerance) continue;
    side.scanned_to = measure_run(side, sign, i);
    i = side.scanned_to - 1;
  }
}

/// Measures the run that starts at or shortly after `at`; returns the index after its end.
std::size_t ClipMeter::measure_run(Side& side, float sign, std::size_t at) {
  const auto value = [&](std::size_t i) { return sign * window_[i]; };
  float top = value(at);
  const auto tolerance = [&] { return std::max(top_quanta * quantum_, top_share * top); };
  std::size_t end = at + 1;
  for (; end < window_.size() && value(end) >= top - tolerance(); ++end) top = std::max(top, value(end));
  while (value(at) < top - tolerance()) ++at;
  side.extreme = std::max(side.extreme, top);
  const std::size_t length = end - at;
  if (length < shortest_run) return end;
  const std::size_t reach = std::clamp<std::size_t>((length - 1) / 2, 1, longest_reach);
  const auto breaks_off = [&](std::size_t i) { return top - value(i) >= edge_tolerances * tolerance(); };
  if (at >= reach && !breaks_off(at - reach)) return end;
  if (end - 1 + reach < window_.size() && !breaks_off(end - 1 + reach)) return end;
  if (top > side.clip_level + tolerance()) side = {side.extreme, top, 0, 0, 0};
  if (top < side.clip_level - tolerance()) return end;
  side.samples += static_cast<std::int64_t>(length);
  ++side.runs;
  return end;
}

}  // namespace firmus::audio
