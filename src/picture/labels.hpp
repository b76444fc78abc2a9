// Placing labels in one or more lines so that none overlaps another; a label without room is left out.
#pragma once
#include <string>
#include <vector>

namespace firmus::picture {

struct Label {
  double centre = 0;  ///< x that the label names
  double width = 0;
  std::string text;
  double x = 0;    ///< left edge, set by place_labels
  int line = -1;   ///< 0, 1, ..., set by place_labels; -1: left out
  int owner = -1;  ///< index for the caller; not read here
};

/// Places labels between x = `from` and `to`, each on the first of `lines` lines that has room at its centre, at least
/// `apart` px from the label before it. Labels are sorted by centre. Returns the number of labels left out.
int place_labels(std::vector<Label>& labels, double from, double to, int lines, double apart);

/// Number of lines used; 0 when all labels were left out.
int lines_used(const std::vector<Label>& labels);

}  // namespace firmus::picture
