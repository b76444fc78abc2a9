#include "legend.hpp"

#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double symbol_px = 20, after_symbol_px = 5, entry_gap_px = 16, legend_line_px = 15;

void draw_symbol(Svg& svg, double x, double y, const LegendEntry& entry) {
  const double middle = x + symbol_px / 2;
  switch (entry.symbol) {
    case LegendEntry::Symbol::pitch:
      return svg.line(x, y, x + symbol_px, y, {ink, 1.5});
    case LegendEntry::Symbol::step:
      return svg.line(x, y, x + symbol_px, y, {written_line, 1});
    case LegendEntry::Symbol::band:
      return svg.rect(x, y - 4, symbol_px, 8, tune_band);
    case LegendEntry::Symbol::mark:
      return add_mark(svg, middle, y, 4, entry.kind);
    case LegendEntry::Symbol::hollow_mark:
      return add_mark(svg, middle, y, 4, entry.kind, true);
    case LegendEntry::Symbol::dashes:
      return svg.line(x, y, x + symbol_px, y, {ink, 1.2, "5 3"});
    case LegendEntry::Symbol::missing:
      return svg.line(middle - 4, y, middle + 4, y, {ink, 2.5});
    case LegendEntry::Symbol::whisker:
      svg.line(middle, y - 5, middle, y + 5, {ink, 1});
      svg.line(middle - 3, y - 5, middle + 3, y - 5, {ink, 1});
      return svg.line(middle - 3, y + 5, middle + 3, y + 5, {ink, 1});
    case LegendEntry::Symbol::interval:
      svg.line(x, y, x + symbol_px, y, {ink, 1.2});
      svg.line(x, y - 3, x, y + 3, {ink, 1.2});
      return svg.line(x + symbol_px, y - 3, x + symbol_px, y + 3, {ink, 1.2});
  }
}

}  // namespace

double draw_legend(Svg& svg, const std::vector<LegendEntry>& entries, double left, double top) {
  double x = left, y = top + legend_line_px / 2;
  for (const LegendEntry& entry : entries) {
    const double needed = symbol_px + after_symbol_px + text_width(entry.words, small_px);
    if (x > left && x + needed > width_px - 4) x = left, y += legend_line_px;
    draw_symbol(svg, x, y, entry);
    svg.text(x + symbol_px + after_symbol_px, y + 3.5, entry.words, {small_px, muted_ink, Anchor::start});
    x += needed + entry_gap_px;
  }
  return y + legend_line_px / 2;
}

}  // namespace firmus::picture
