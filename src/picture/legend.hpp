// The legend of a picture, in one or more lines above it.
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

/// Draws the entries from x = `left`, wrapped at the right edge of the picture, the first line at y = `top`. Returns
/// the y of the lower edge.
double draw_legend(Svg& svg, const std::vector<LegendEntry>& entries, double left, double top);

}  // namespace firmus::picture
