// Where in time an event most fairly lies, once it is decided that there is one.
#pragma once
#include <cstddef>
#include <span>

namespace firmus::decode {

/// Frames that may be answered, and the one that decoding chose.
struct EventWindow {
  std::size_t earliest = 0, chosen = 0, latest = 0;
};

/// The median of the event's whereabouts, with `logits`, one for each frame, as the log odds that it lies there: of all
/// frames the one with the least expected error in time, where the highest odds are the one most often hit exactly.
/// Looks no farther than 150 ms from the chosen frame, to which it keeps where the evidence is weak, or where it does
/// not lie between `earliest` and `latest`.
std::size_t posterior_median_frame(std::span<const float> logits, EventWindow where);

}  // namespace firmus::decode
