#include "plane.hpp"

#include <algorithm>

namespace firmus {
namespace {

/// Offers cell `from` to cell `to` at a cost.
inline void offer(Plane& plane, std::vector<std::uint16_t>& origin, std::size_t from, std::size_t to, float cost) {
  if (plane[from] - cost > plane[to]) {
    plane[to] = plane[from] - cost;
    origin[to] = origin[from];
  }
}

}  // namespace

void let_walk(const Grid& grid, Plane& plane, std::vector<std::uint16_t>& origin) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  for (std::size_t t = 0; t < tempi; ++t) {
    const auto at = [&](std::size_t k) { return k * tempi + t; };
    std::size_t best = at(0);
    for (std::size_t k = 1; k < keys; ++k) {
      if (plane[at(k)] > plane[best]) best = at(k);
      offer(plane, origin, at(k - 1), at(k), grid.key_step_cost);
    }
    for (std::size_t k = keys - 1; k-- > 0;) offer(plane, origin, at(k + 1), at(k), grid.key_step_cost);
    for (std::size_t k = 0; k < keys; ++k) offer(plane, origin, best, at(k), grid.key_jump_cost);
  }
  for (std::size_t k = 0; k < keys; ++k) {
    const std::size_t row = k * tempi;
    for (std::size_t t = 1; t < tempi; ++t) offer(plane, origin, row + t - 1, row + t, grid.tempo_step_cost);
    for (std::size_t t = tempi - 1; t-- > 0;) offer(plane, origin, row + t + 1, row + t, grid.tempo_step_cost);
  }
}

}  // namespace firmus
