#include "stable_pitch.hpp"

#include <algorithm>
#include <cmath>
#include <deque>

namespace firmus::decode {
namespace {

// Of 1,035 spoken syllables of the simulated singer 90 % stay within 90 cents for less than 195 ms, of 713 notes of
// annotated takes 5 % for less than 205 ms. Within 60 cents it would be 10 % of those notes, because of their vibrato.
constexpr float stable_within_cents = 90;

/// Frames of a window, of which the first has the highest value (`sign` 1) or the lowest (-1) of all.
class Extremes {
 public:
  Extremes(const std::vector<float>& values, float sign) : values_(values), sign_(sign) {}
  void add(std::size_t frame) {
    while (!frames_.empty() && sign_ * values_[frames_.back()] <= sign_ * values_[frame]) frames_.pop_back();
    frames_.push_back(frame);
  }
  void remove_before(std::size_t frame) {
    while (!frames_.empty() && frames_.front() < frame) frames_.pop_front();
  }
  float top() const { return values_[frames_.front()]; }

 private:
  const std::vector<float>& values_;
  float sign_;
  std::deque<std::size_t> frames_;
};

/// For each frame, how many from it on are voiced and stay within `stable_within_cents`. A window that moves forward: a
/// frame's run ends no earlier than that of the frame before.
std::vector<std::size_t> runs_of(const std::vector<float>& cents) {
  std::vector<std::size_t> runs(cents.size());
  Extremes high(cents, 1), low(cents, -1);
  std::size_t end = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) {
    if (std::isnan(cents[i])) continue;
    if (end <= i) end = i;
    high.remove_before(i);
    low.remove_before(i);
    for (; end < std::min(cents.size(), i + StablePitchRuns::enough_frames) && !std::isnan(cents[end]); ++end) {
      const bool is_first = end == i;
      if (!is_first && (std::max(high.top(), cents[end]) - std::min(low.top(), cents[end]) > stable_within_cents))
        break;
      high.add(end);
      low.add(end);
    }
    runs[i] = end - i;
  }
  return runs;
}

}  // namespace

StablePitchRuns::StablePitchRuns(std::span<const float> f0_track_hz, std::span<const Boundary> boundaries)
    : boundaries_(boundaries), between_(boundaries.size()) {
  std::vector<float> cents(f0_track_hz.size());
  for (std::size_t i = 0; i < cents.size(); ++i)
    cents[i] = f0_track_hz[i] > 0 ? 1200 * std::log2(f0_track_hz[i] / 440.0F) : std::nanf("");
  run_ = runs_of(cents);
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
