// A polyline reduced to the points that can be seen.
#pragma once
#include <span>
#include <string>
#include <vector>

namespace firmus::picture {

struct Point {
  double x = 0, y = 0;
};

/// A subset of the points such that no other point is further than `tolerance` from the line through them (Douglas and
/// Peucker 1973). First and last point stay.
std::vector<Point> simplified(std::span<const Point> points, double tolerance);

/// SVG path data of a line through the points: "M1 2L3 4 5 6"; empty for fewer than two points.
std::string path_data(std::span<const Point> points);

}  // namespace firmus::picture
