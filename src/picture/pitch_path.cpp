#include "pitch_path.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "svg.hpp"

namespace firmus::picture {
namespace {

double distance_from_line(const Point& p, const Point& a, const Point& b) {
  const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
  if (length == 0) return std::hypot(p.x - a.x, p.y - a.y);
  return std::fabs(dy * (p.x - a.x) - dx * (p.y - a.y)) / length;
}

}  // namespace

std::vector<Point> simplified(std::span<const Point> points, double tolerance) {
  if (points.size() < 3) return {points.begin(), points.end()};
  std::vector<bool> kept(points.size(), false);
  kept.front() = kept.back() = true;
  std::vector<std::pair<std::size_t, std::size_t>> spans{{0, points.size() - 1}};
  while (!spans.empty()) {
    const auto [from, to] = spans.back();
    spans.pop_back();
    std::size_t furthest = from;
    double most = tolerance;
    for (std::size_t i = from + 1; i < to; ++i) {
      const double distance = distance_from_line(points[i], points[from], points[to]);
      if (distance > most) most = distance, furthest = i;
    }
    if (furthest == from) continue;
    kept[furthest] = true;
    spans.emplace_back(from, furthest);
    spans.emplace_back(furthest, to);
  }
  std::vector<Point> line;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (kept[i]) line.push_back(points[i]);
  return line;
}

std::string path_data(std::span<const Point> points) {
  std::string data;
  if (points.size() < 2) return data;
  for (std::size_t i = 0; i < points.size(); ++i)
    data += fmt::format("{}{} {}", i == 0 ? "M" : i == 1 ? "L" : " ", px(points[i].x), px(points[i].y));
  return data;
}

}  // namespace firmus::picture
