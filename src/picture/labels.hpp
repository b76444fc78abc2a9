// Labels in a lane: kept apart by going to a second line, or left out where there is no room.
#pragma once
#include <string>
#include <vector>

namespace firmus::picture {

struct Label {
  double centre = 0;  ///< where it belongs
  double width = 0;
  std::string text;
  double x = 0;    ///< where it begins, once placed
  int line = -1;   ///< 0, 1, ... once placed; -1: left out
  int owner = -1;  ///< for whoever placed it
};

/// Places labels, by centre, between `from` and `to` on up to `lines` lines, the first one free; `apart` px between two
/// of a line. Returns how many were left out.
int place_labels(std::vector<Label>& labels, double from, double to, int lines, double apart);

/// Lines that are used: 0 when all were left out.
int lines_used(const std::vector<Label>& labels);

}  // namespace firmus::picture
