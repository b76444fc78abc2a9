// Whether the mark of a take depends on how its key is read: as one key, or as a key that changed on the way.
#pragma once
#include <optional>

#include "firmus/grading.hpp"

namespace firmus::studio {

struct KeyDoubt {
  double percent_if_changed = 0, percent_if_not = 0;
  std::optional<int> changed_at_bar;  ///< where another key begins if it changed; none without bars
};

/// The two marks where they differ by more than 5 points; `made` is the mark of the take as measured. A take with
/// several key segments is also read as sung in the key of most of its notes, octaves aside; a take with one segment
/// as changing key where a phrase lies nearer to another key. None by other references than `own`, which alone follows
/// the key.
std::optional<KeyDoubt> doubt_about_key(const Result& result, const Rubric& rubric, const MarkBreakdown& made);

}  // namespace firmus::studio
