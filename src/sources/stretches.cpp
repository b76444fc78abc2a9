#include "stretches.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::sources {
namespace {

constexpr std::size_t fewest_frames = 16;          // 80 ms
constexpr float leap_octaves = 0.8F / 12;          // between neighbouring frames; no voice glides as fast
constexpr std::size_t attack_reach = 4;            // frames either side
constexpr float attack_db = 2.5F;                  // rise of level within that, 40 ms: another sound begins
constexpr float likely_onset = -2;                 // log odds
constexpr std::size_t onset_reach = 5;             // frames, 25 ms
constexpr std::size_t attack_frames = 16;          // the loudest frame of a struck string is within 80 ms
constexpr std::size_t damping_frames = 8;          // 40 ms
constexpr float damping_db = 4;                    // fall within that: the damper is down
constexpr std::size_t before_damping_frames = 20;  // a stroke falls as fast in its first 100 ms

/// Mean of the level over five frames.
std::vector<float> smoothed(const std::vector<float>& level_db) {
  const auto n = static_cast<std::ptrdiff_t>(level_db.size());
  std::vector<float> mean(level_db.size());
  for (std::ptrdiff_t i = 0; i < n; ++i) {
    float sum = 0;
    for (std::ptrdiff_t k = -2; k <= 2; ++k)
      sum += level_db[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(i + k, 0, n - 1))];
    mean[static_cast<std::size_t>(i)] = sum / 5;
  }
  return mean;
}

/// Rise of level about a frame where it is steepest there; 0 elsewhere.
bool is_attack(const std::vector<float>& level_db, std::size_t i) {
  const auto rise = [&](std::size_t at) {
    return at < attack_reach || at + attack_reach >= level_db.size()
               ? 0.0F
               : level_db[at + attack_reach] - level_db[at - attack_reach];
  };
  const float here = rise(i);
  if (here < attack_db) return false;
  for (std::size_t k = 1; k <= attack_reach; ++k)
    if (rise(i + k) > here || (i >= k && rise(i - k) >= here)) return false;
  return true;
}

bool is_onset(const std::vector<float>& logits, std::size_t i) {
  if (logits[i] < likely_onset) return false;
  const std::size_t last = std::min(logits.size() - 1, i + onset_reach);
  for (std::size_t k = i - std::min(i, onset_reach); k <= last; ++k)
    if (logits[k] > logits[i] || (k < i && logits[k] == logits[i])) return false;
  return true;
}

double median_hz(std::span<const float> f0_hz) {
  std::vector<float> values(f0_hz.begin(), f0_hz.end());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

void measure_fall(Stretch& stretch, const std::vector<float>& level_db) {
  const auto at = [&](std::size_t i) { return level_db.begin() + static_cast<std::ptrdiff_t>(i); };
  const std::size_t attack_end = std::min(stretch.end, stretch.begin + attack_frames);
  stretch.loudest = static_cast<std::size_t>(std::max_element(at(stretch.begin), at(attack_end)) - level_db.begin());
  stretch.damped = stretch.end;
  for (std::size_t i = stretch.loudest + before_damping_frames; i + damping_frames < stretch.end; ++i)
    if (level_db[i] - level_db[i + damping_frames] > damping_db) {
      stretch.damped = i;
      break;
    }
  stretch.fall_db = level_db[stretch.loudest] - level_db[stretch.damped - 1];
}

}  // namespace

std::vector<Stretch> stretches_of(const Evidence& evidence, const CoarseF0Track& f0_track,
                                  const OnsetEvidence& onsets) {
  const std::vector<float> level_db = smoothed(evidence.level_db);
  std::vector<Stretch> found;
  std::size_t begin = 0;
  const auto close = [&](std::size_t end) {
    if (end < begin + fewest_frames) return;
    Stretch stretch;
    stretch.begin = begin, stretch.end = end;
    stretch.hz = median_hz(std::span(f0_track.f0_hz).subspan(begin, end - begin));
    measure_fall(stretch, level_db);
    found.push_back(stretch);
  };
  bool open = false;
  for (std::size_t i = 0; i < evidence.frames(); ++i) {
    const bool voiced = f0_track.voiced(i);
    const bool goes_on = voiced && open &&
                         std::abs(std::log2(f0_track.f0_hz[i] / f0_track.f0_hz[i - 1])) < leap_octaves &&
                         !is_attack(level_db, i) && !is_onset(onsets.onset_logit, i);
    if (open && !goes_on) close(i);
    if (!goes_on) begin = i;
    open = voiced;
  }
  if (open) close(evidence.frames());
  return found;
}

}  // namespace firmus::sources
