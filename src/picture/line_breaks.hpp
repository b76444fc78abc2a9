// Breaking a long take into rows: at a silence, at the end of a phrase where possible.
#pragma once
#include <span>
#include <vector>

#include "placed_notes.hpp"

namespace firmus::picture {

/// A span of time that is drawn as one row.
struct Row {
  double from_s = 0, to_s = 0;
  friend bool operator==(const Row&, const Row&) = default;
};

/// Rows of at most `longest_s` seconds that cover every note. A long silence between two rows is not covered. `notes`
/// are sorted by onset; without notes there are no rows. `take_s` is the length of the take.
std::vector<Row> break_into_rows(std::span<const PlacedNote> notes, double take_s, double longest_s);

}  // namespace firmus::picture
