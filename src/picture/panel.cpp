#include "panel.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "labels.hpp"
#include "pitch_path.hpp"
#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double axis_px = 40;   ///< width of the value axis, at the left
constexpr double inset_px = 14;  ///< from the axis to the first point, and from the last point to the right edge
constexpr double title_px = 18, names_px = 18, above_px = 8;
constexpr int max_steps = 4;
constexpr double panel_mark_px = 3.6;

struct ValueRange {
  double low = 0, high = 1, step = 1;
};

/// The smallest of 0.1, 0.2, 0.5, 1, 2, 5, ... that divides `span` into at most `max_steps` steps.
double step_for(double span) {
  for (double power = 0.1;; power *= 10)
    for (const double digit : {1.0, 2.0, 5.0})
      if (span / (digit * power) <= max_steps) return digit * power;
}

ValueRange value_range_of(const Panel& panel) {
  std::vector<double> all;
  for (const auto& value : panel.values)
    if (value) all.push_back(*value);
  if (panel.trend) all.insert(all.end(), {panel.trend->first, panel.trend->second});
  if (panel.min_range) all.insert(all.end(), {panel.min_range->first, panel.min_range->second});
  if (panel.is_signed) all.push_back(0);
  if (all.empty()) return {};
  const auto [low, high] = std::minmax_element(all.begin(), all.end());
  const double step = step_for(std::max(*high - *low, 1e-9));
  ValueRange range{step * std::floor(*low / step), step * std::ceil(*high / step), step};
  if (range.high <= range.low) range.high = range.low + step;
  return range;
}

/// Maps positions and values to px.
struct PanelFrame {
  double left = 0, right = 0, top = 0, bottom = 0, first = 0, last = 0;
  ValueRange range;
  double x_of(double at) const {
    const double share = last > first ? (at - first) / (last - first) : 0.5;
    return left + inset_px + share * (right - left - 2 * inset_px);
  }
  double y_of(double value) const { return bottom - (value - range.low) / (range.high - range.low) * (bottom - top); }
};

PanelFrame panel_frame(const Panel& panel, double x, double y, double width) {
  PanelFrame frame{x + axis_px, x + width, y + title_px + above_px, y + panel_height_px - names_px - 8,
                   0,           0,         value_range_of(panel)};
  if (!panel.at.empty()) frame.first = panel.at.front(), frame.last = panel.at.back();
  return frame;
}

void draw_panel_grid(Svg& svg, const Panel& panel, const PanelFrame& frame) {
  const auto steps = std::lround((frame.range.high - frame.range.low) / frame.range.step);
  for (long i = 0; i <= steps; ++i) {
    const double value = frame.range.low + static_cast<double>(i) * frame.range.step, y = frame.y_of(value);
    const bool zero = panel.is_signed && std::fabs(value) < frame.range.step / 2;
    svg.line(frame.left, y, frame.right, y, {zero ? muted_ink : rule, zero ? 0.8 : 0.6});
    const int decimals = frame.range.step < 1 ? 1 : 0;
    const std::string figure = zero              ? "0"
                               : panel.is_signed ? fmt::format("{:+.{}f}", value, decimals)
                                                 : fmt::format("{:.{}f}", value + 0.0, decimals);
    svg.text(frame.left - 5, y + 3.5, figure, {small_px, muted_ink, Anchor::end});
  }
}

/// The last label is placed first and takes the room it needs; the others share the rest of the line.
void place_with_last(std::vector<Label>& labels, double from, double to) {
  constexpr double apart_px = 8;
  if (labels.empty()) return;
  std::vector<Label> last{labels.back()};
  labels.pop_back();
  place_labels(last, from, to, 1, apart_px);
  place_labels(labels, from, last[0].line == 0 ? last[0].x - apart_px : to, 1, apart_px);
  for (Label& label : labels)  // a label moved too far would seem to name another point
    if (std::fabs(label.x + label.width / 2 - label.centre) > label.width) label.line = -1;
  labels.push_back(last[0]);
}

void draw_names(Svg& svg, const Panel& panel, const PanelFrame& frame) {
  std::vector<Label> labels;
  for (std::size_t i = 0; i < panel.names.size(); ++i) {
    const double x = frame.x_of(panel.at[i]);
    svg.line(x, frame.bottom, x, frame.bottom + 3, {muted_ink, 0.8});
    labels.push_back({x, text_width(panel.names[i], small_px), panel.names[i]});
  }
  place_with_last(labels, frame.left - axis_px, frame.right);
  for (const Label& label : labels)
    if (label.line >= 0) svg.text(label.x, frame.bottom + 14, label.text, {small_px, muted_ink, Anchor::start});
}

MarkKind mark_kind_at(const Panel& panel, double value) {
  if (!panel.is_signed || std::lround(value) == 0) return MarkKind::in_tune;
  return value > 0 ? MarkKind::sharp : MarkKind::flat;
}

void draw_points(Svg& svg, const Panel& panel, const PanelFrame& frame) {
  std::vector<Point> line;
  for (std::size_t i = 0; i < panel.values.size(); ++i)
    if (panel.values[i]) line.push_back({frame.x_of(panel.at[i]), frame.y_of(*panel.values[i])});
  svg.path(path_data(line), "none", {written_line, 1});
  if (panel.trend)
    svg.line(frame.x_of(frame.first), frame.y_of(panel.trend->first), frame.x_of(frame.last),
             frame.y_of(panel.trend->second), {ink, 1.2, "5 3"});
  for (std::size_t i = 0; i < panel.values.size(); ++i) {
    if (!panel.values[i]) continue;
    svg.begin_group("");
    svg.tooltip(fmt::format("{}: {:.1f} {}", panel.names[i], *panel.values[i] + 0.0, panel.unit));
    add_mark(svg, frame.x_of(panel.at[i]), frame.y_of(*panel.values[i]), panel_mark_px,
             mark_kind_at(panel, *panel.values[i]));
    svg.end_group();
  }
}

}  // namespace

void draw_panel(Svg& svg, const Panel& panel, double x, double y, double width) {
  const PanelFrame frame = panel_frame(panel, x, y, width);
  const std::string title = cut_to(panel.title + ", " + panel.unit, width - 8, 1.1 * label_px);
  svg.text(x, y + 12, title, {label_px, ink, Anchor::start, true});
  draw_panel_grid(svg, panel, frame);
  draw_names(svg, panel, frame);
  draw_points(svg, panel, frame);
}

}  // namespace firmus::picture
