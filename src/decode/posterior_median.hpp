// The most likely time of an onset or end of which only the existence is decided.
#pragma once
#include <cstddef>
#include <span>

namespace firmus::decode {

/// Frames in which an event may lie, and the one that the search chose.
struct EventWindow {
  std::size_t earliest = 0, chosen = 0, latest = 0;
};

/// Median of the posterior distribution of the event's frame, given `logits`, one for each frame of the recording, as
/// log odds that it lies there. The median has the least expected absolute error in time; the frame of highest odds
/// would be exact most often. The search is limited to 150 ms about the chosen frame. Where the evidence is weak, and
/// where the chosen frame is not between `earliest` and `latest`, the result is the chosen frame.
std::size_t posterior_median_frame(std::span<const float> logits, EventWindow window);

}  // namespace firmus::decode
