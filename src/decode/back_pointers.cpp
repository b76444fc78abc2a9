#include "back_pointers.hpp"

#include <algorithm>

namespace firmus::decode {

void BackPointers::collect_garbage(const std::vector<std::vector<std::uint32_t>*>& alive) {
  std::vector<std::uint32_t> renamed(events_.size(), 0);  // 1: on a path; later the new number
  for (const auto* last_events : alive)
    for (std::uint32_t event : *last_events)
      for (; event != 0 && renamed[event] == 0; event = events_[event].before) renamed[event] = 1;
  std::uint32_t kept = 1;
  for (std::size_t event = 1; event < events_.size(); ++event) {  // what comes before has the lower number
    if (renamed[event] == 0) continue;
    events_[kept] = events_[event];
    events_[kept].before = renamed[events_[event].before];
    renamed[event] = kept++;
  }
  events_.resize(kept);
  full_at_ = std::max<std::size_t>(least_full, events_.size() + events_.size() / 2);
  for (auto* last_events : alive)
    for (std::uint32_t& event : *last_events) event = renamed[event];
}

}  // namespace firmus::decode
