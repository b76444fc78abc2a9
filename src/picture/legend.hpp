// What the marks mean, in one or more lines above a picture.
#pragma once
#include <string>
#include <vector>

#include "theme.hpp"

namespace firmus::picture {

struct LegendEntry {
  enum class Symbol { pitch, step, band, mark, hollow_mark, interval, whisker, missing, dashes };
  Symbol symbol = Symbol::mark;
  MarkKind kind = MarkKind::in_tune;
  std::string words;
};

/// Draws the entries from `left`, wrapped at the picture's right edge, the first line at `top`; returns where they end.
double draw_legend(Svg& svg, const std::vector<LegendEntry>& entries, double left, double top);

}  // namespace firmus::picture
