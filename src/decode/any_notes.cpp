#include "any_notes.hpp"

#include <algorithm>
#include <cmath>

#include "base/frames.hpp"

namespace firmus::decode {
namespace {

// Zero log odds of an onset leave it to pitch and length whether a note begins.
constexpr float note_cost = 3.0F;

struct Best {
  float score = 0;
  std::size_t note_from = 0;  ///< where the note that ends here begins; this boundary itself: no note ends here
};

}  // namespace

Path best_any_notes(const Observations& observed, std::span<const Boundary> boundaries, const Costs& costs) {
  SegmentPitch pitch(observed, boundaries);
  std::vector<Best> best(boundaries.size() + 1);
  for (std::size_t end = 1; end <= boundaries.size(); ++end) {
    const std::size_t end_frame = end < boundaries.size() ? boundaries[end].frame : observed.end_of_notes();
    best[end] = {best[end - 1].score, end};
    pitch.start_at(end);
    for (std::size_t begin = end; begin-- > 0;) {
      const double seconds = static_cast<double>(end_frame - boundaries[begin].frame) * frame_hop_s;
      if (seconds > costs.longest_note_s && begin + 1 < end) break;
      pitch.extend_back();
      pitch.transform();
      const float missing = static_cast<float>(std::max(0, costs.least_voiced_frames - pitch.voiced_frames()));
      const float score = best[begin].score + pitch.free_fit() - note_cost - costs.unvoiced_frame * missing -
                          costs.short_per_s * std::max(0.0F, costs.least_note_s - static_cast<float>(seconds)) +
                          costs.onset_weight * std::clamp(boundaries[begin].logit, -costs.onset_clip, costs.onset_clip);
      if (score > best[end].score) best[end] = {score, begin};
    }
  }
  Path path;
  path.score = best.back().score;
  for (std::size_t end = boundaries.size(); end > 0;) {
    const std::size_t begin = best[end].note_from;
    if (begin == end) {
      --end;
      continue;
    }
    path.notes.push_back({begin, end, std::nullopt, 0, 0});
    end = begin;
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus::decode
