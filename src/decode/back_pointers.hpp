// The paths of the search, shared between all hypotheses: each knows its last back-pointer.
#pragma once
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "transitions.hpp"

namespace firmus::decode {

/// The end of a path that is on its way into a state: its last back-pointer, and how many written notes its last note
/// was besides the first (notes of one pitch that sound as one). In one number, so that the search can copy it fast.
class PathEnd {
 public:
  static constexpr unsigned number_bits = 29;
  static constexpr std::size_t most_joined = 8;
  static std::uint32_t joined_bits(std::size_t notes) { return static_cast<std::uint32_t>(notes - 1) << number_bits; }
  explicit PathEnd(std::uint32_t bits) : bits_(bits) {}
  std::uint32_t back_pointer() const { return bits_ & ((1U << number_bits) - 1); }
  std::uint32_t joined_after() const { return bits_ >> number_bits; }

 private:
  std::uint32_t bits_;
};

/// A path has entered `state` at a boundary.
struct BackPointer {
  static constexpr std::uint32_t most_positions = 1U << 27U;
  BackPointer() = default;
  BackPointer(PathEnd path_before, std::uint32_t at, State entered, std::uint32_t at_position, std::uint32_t at_cell)
      : before(path_before.back_pointer()),
        boundary(at),
        state(entered),
        joined_before(path_before.joined_after() & (PathEnd::most_joined - 1)),
        position(at_position & (most_positions - 1)),
        cell(at_cell) {}
  std::uint32_t before = 0;    ///< the back-pointer before it; 0: the path starts here
  std::uint32_t boundary = 0;  ///< index
  State state : 2 = State::note;
  std::uint32_t joined_before : 3 = 0;  ///< written notes that the note before it was, besides the first
  std::uint32_t position : 27 = 0;
  std::uint32_t cell = 0;  ///< of the grid, key and tempo
};
static_assert(sizeof(BackPointer) == 16);

/// Back-pointers as a tree that grows from number 0, the root. Most of those that are added are soon on no path of the
/// search any more and are removed, so memory is bounded by the paths alive, not by the length of the recording.
class BackPointers {
 public:
  BackPointers() : entries_(1) {}
  std::uint32_t add(const BackPointer& entry) {
    entries_.push_back(entry);
    return static_cast<std::uint32_t>(entries_.size() - 1);
  }
  const BackPointer& operator[](std::uint32_t number) const { return entries_[number]; }
  bool is_full() const { return entries_.size() > full_at_; }
  /// Keeps the paths that end in `alive`, renumbers their back-pointers, and writes the new numbers into `alive`.
  void collect_garbage(std::span<const std::span<std::uint32_t>> alive);

 private:
  static constexpr std::size_t least_full = std::size_t{1} << 20U;  // 16 MiB
  std::vector<BackPointer> entries_;
  std::size_t full_at_ = least_full;
};

}  // namespace firmus::decode
