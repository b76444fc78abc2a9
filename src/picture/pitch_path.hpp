// The measured pitch as a line with no more points than can be seen.
#pragma once
#include <span>
#include <string>
#include <vector>

namespace firmus::picture {

struct Point {
  double x = 0, y = 0;
};

/// The points that are needed so that none of the others is further than `tolerance` from the line (Douglas and Peucker
/// 1973).
std::vector<Point> simplified(std::span<const Point> points, double tolerance);

/// SVG path data of a line through the points: "M1 2L3 4 5 6"; empty for fewer than two.
std::string path_data(std::span<const Point> points);

}  // namespace firmus::picture
