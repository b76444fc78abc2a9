#include "labels.hpp"

#include <algorithm>
#include <limits>

namespace firmus::picture {

int place_labels(std::vector<Label>& labels, double from, double to, int lines, double apart) {
  std::vector<double> free_from(static_cast<std::size_t>(lines), -std::numeric_limits<double>::infinity());
  int left_out = 0;
  for (Label& label : labels) {
    label.x = std::max(from, std::min(label.centre - label.width / 2, to - label.width));
    label.line = -1;
    for (int line = 0; line < lines && label.line < 0; ++line)
      if (free_from[static_cast<std::size_t>(line)] <= label.x) label.line = line;
    if (label.line < 0 || label.width > to - from) {
      label.line = -1;
      ++left_out;
    } else {
      free_from[static_cast<std::size_t>(label.line)] = label.x + label.width + apart;
    }
  }
  return left_out;
}

int lines_used(const std::vector<Label>& labels) {
  int used = 0;
  for (const Label& label : labels) used = std::max(used, label.line + 1);
  return used;
}

}  // namespace firmus::picture
