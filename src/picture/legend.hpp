// What the marks mean, in one or more lines above a picture.
#pragma once
#include <string>
#include <vector>

#include "look.hpp"

namespace firmus::picture {

struct LegendEntry {
  enum class Sign { pitch, step, band, mark, hollow_mark, interval, whisker, missing, dashes };
  Sign sign = Sign::mark;
  Way way = Way::in_tune;
  std::string words;
};

/// Draws the entries from `left`, wrapped at the picture's right edge, the first line at `top`; returns where they end.
double draw_legend(Svg& svg, const std::vector<LegendEntry>& entries, double left, double top);

}  // namespace firmus::picture
