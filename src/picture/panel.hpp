// A small chart of one figure over time.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "theme.hpp"

namespace firmus::picture {

struct Panel {
  std::string title, unit;
  std::vector<double> at;  ///< places along the time axis
  std::vector<std::optional<double>> values;
  std::vector<std::string> names;                  ///< of the places, below the axis; left out where there is no room
  std::optional<std::pair<double, double>> trend;  ///< of a straight line at the first and the last place
  std::optional<std::pair<double, double>> least;  ///< the range shown at least
  bool is_signed = false;                          ///< 0 is in tune, above is sharp, below is flat
};

inline constexpr double panel_height_px = 176;

/// Draws it with its upper left corner at x, y.
void draw_panel(Svg& svg, const Panel& panel, double x, double y, double width);

}  // namespace firmus::picture
