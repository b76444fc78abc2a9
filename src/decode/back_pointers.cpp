#include "back_pointers.hpp"

#include <algorithm>

namespace firmus::decode {

void BackPointers::collect_garbage(std::span<const std::span<std::uint32_t>> alive) {
  std::vector<std::uint32_t> new_number(entries_.size(), 0);  // first only 1: on a path
  for (const auto ends : alive)
    for (std::uint32_t number : ends)
      for (; number != 0 && new_number[number] == 0; number = entries_[number].before) new_number[number] = 1;
  std::uint32_t kept = 1;
  for (std::size_t number = 1; number < entries_.size(); ++number) {  // an entry's `before` has a lower number
    if (new_number[number] == 0) continue;
    entries_[kept] = entries_[number];
    entries_[kept].before = new_number[entries_[number].before];
    new_number[number] = kept++;
  }
  entries_.resize(kept);
  full_at_ = std::max<std::size_t>(least_full, entries_.size() + entries_.size() / 2);
  for (const auto ends : alive)
    for (std::uint32_t& number : ends) number = new_number[number];
}

}  // namespace firmus::decode
