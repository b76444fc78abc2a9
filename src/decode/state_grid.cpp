#include "state_grid.hpp"

#include <cstddef>

#include "base/simd.hpp"

namespace firmus::decode {
namespace {

using Origins = std::vector<std::uint32_t>;

/// Offers `count` cells from `from` on to those from `to` on, at a cost; the two do not overlap.
FIRMUS_INLINE void relax(float* __restrict plane_to, std::uint32_t* __restrict origin_to,
                         const float* __restrict plane_from, const std::uint32_t* __restrict origin_from,
                         std::size_t count, float cost) {
#pragma omp simd
  for (std::size_t i = 0; i < count; ++i) {
    const float value = plane_from[i] - cost, old = plane_to[i];
    plane_to[i] = value > old ? value : old;
    origin_to[i] = value > old ? origin_from[i] : origin_to[i];
  }
}

FIRMUS_MULTIVERSION void transition_key(const StateGrid& grid, StateScores& plane, Origins& origin) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  StateScores best_of(plane.begin(), plane.begin() + static_cast<std::ptrdiff_t>(tempi));  // over all keys, by tempo
  Origins best_of_origin(origin.begin(), origin.begin() + static_cast<std::ptrdiff_t>(tempi));
  float *row = plane.data(), *best = best_of.data();
  std::uint32_t *row_origin = origin.data(), *best_origin = best_of_origin.data();
  const float step = grid.key_step_cost;
  for (std::size_t k = 1; k < keys; ++k) {
    const std::size_t to = k * tempi, from = to - tempi;
    relax(best, best_origin, row + to, row_origin + to, tempi, 0);
    relax(row + to, row_origin + to, row + from, row_origin + from, tempi, step);
  }
  for (std::size_t k = keys - 1; k-- > 0;) {
    const std::size_t to = k * tempi, from = to + tempi;
    relax(row + to, row_origin + to, row + from, row_origin + from, tempi, step);
  }
  for (std::size_t k = 0; k < keys; ++k)
    relax(row + k * tempi, row_origin + k * tempi, best, best_origin, tempi, grid.key_jump_cost);
}

void transition_tempo(const StateGrid& grid, StateScores& plane, Origins& origin) {
  const std::size_t tempi = grid.quarter_s.size();
  const auto step = [&](std::size_t from, std::size_t to) {
    const float value = plane[from] - grid.tempo_step_cost;
    const bool better = value > plane[to];
    plane[to] = better ? value : plane[to];
    origin[to] = better ? origin[from] : origin[to];
  };
  for (std::size_t row = 0; row < plane.size(); row += tempi) {
    for (std::size_t t = 1; t < tempi; ++t) step(row + t - 1, row + t);
    for (std::size_t t = tempi - 1; t-- > 0;) step(row + t + 1, row + t);
  }
}

}  // namespace

void transition(const StateGrid& grid, StateScores& plane, std::vector<std::uint32_t>& origin) {
  transition_key(grid, plane, origin);
  transition_tempo(grid, plane, origin);
}

}  // namespace firmus::decode
