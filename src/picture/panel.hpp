// A small chart of one quantity over time.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "theme.hpp"

namespace firmus::picture {

/// `at`, `values` and `names` have one element for each position.
struct Panel {
  std::string title, unit;
  std::vector<double> at;  ///< positions along the time axis, ascending
  std::vector<std::optional<double>> values;
  std::vector<std::string> names;  ///< of the positions, below the axis; left out where there is no room
  std::optional<std::pair<double, double>> trend;      ///< values of a fitted line at the first and the last position
  std::optional<std::pair<double, double>> min_range;  ///< the value axis covers at least this
  bool is_signed = false;  ///< values are errors: 0 is in tune, positive is sharp, negative is flat
};

inline constexpr double panel_height_px = 176;

/// Draws the panel with its upper left corner at x, y.
void draw_panel(Svg& svg, const Panel& panel, double x, double y, double width);

}  // namespace firmus::picture
