// What paths have done so far, shared between all of them: a path is known by its last event.
#pragma once
#include <cstdint>
#include <vector>

namespace firmus::decode {

/// Events in a tree that grows from event 0, "nothing yet". Most of what is added is soon on no path any more; `forget`
/// drops it, so memory is bounded by the paths alive and not by the take's length (token passing; Young, Russell &
/// Thornton 1989).
class BackPointers {
 public:
  static constexpr std::int32_t extra_begins = -1, note_ended = -2;
  struct BackPointer {
    std::uint32_t before = 0;    ///< the event before it
    std::uint32_t boundary = 0;  ///< where it is
    std::int32_t what = 0;       ///< the written note that begins, or extra_begins or note_ended
    std::uint32_t cell = 0;      ///< key and tempo there
  };
  BackPointers() : events_(1) {}
  std::uint32_t add(const BackPointer& event) {
    events_.push_back(event);
    return static_cast<std::uint32_t>(events_.size() - 1);
  }
  const BackPointer& operator[](std::uint32_t event) const { return events_[event]; }
  bool is_full() const { return events_.size() > full_at_; }
  /// Keeps the events on the paths that end in `alive`, renumbers them, and rewrites `alive` to the new numbers.
  void collect_garbage(const std::vector<std::vector<std::uint32_t>*>& alive);

 private:
  static constexpr std::size_t least_full = std::size_t{1} << 19U;  // 8 MiB
  std::vector<BackPointer> events_;
  std::size_t full_at_ = least_full;
};

}  // namespace firmus::decode
