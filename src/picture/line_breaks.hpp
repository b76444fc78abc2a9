// A long take in rows, as lines of music are: broken where nothing sounds, at the end of a phrase where possible.
#pragma once
#include <span>
#include <vector>

#include "placed_notes.hpp"

namespace firmus::picture {

struct Row {
  double from_s = 0, to_s = 0;
  friend bool operator==(const Row&, const Row&) = default;
};

/// Rows of at most `longest_s`, together holding every note; long silence between two rows is left out. `notes` by
/// onset. Empty when there are none.
std::vector<Row> break_into_rows(std::span<const PlacedNote> notes, double take_s, double longest_s);

}  // namespace firmus::picture
