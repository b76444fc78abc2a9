#include "state_grid.hpp"

#include <cmath>
#include <cstddef>

#include "base/simd.hpp"

namespace firmus::decode {
namespace {

using Origins = std::vector<std::uint32_t>;

/// to = max(to, from - cost) for `count` cells, origins following; the two ranges do not overlap.
FIRMUS_INLINE void relax_from(float* __restrict to, std::uint32_t* __restrict origin_to, const float* __restrict from,
                              const std::uint32_t* __restrict origin_from, std::size_t count, float cost) {
#pragma omp simd
  for (std::size_t i = 0; i < count; ++i) {
    const float value = from[i] - cost, old = to[i];
    to[i] = value > old ? value : old;
    origin_to[i] = value > old ? origin_from[i] : origin_to[i];
  }
}

FIRMUS_MULTIVERSION void transition_key(const StateGrid& grid, StateScores& scores, Origins& origin) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  StateScores best_by_tempo(scores.begin(),
                            scores.begin() + static_cast<std::ptrdiff_t>(tempi));  // over all keys, by tempo
  Origins best_by_tempo_origin(origin.begin(), origin.begin() + static_cast<std::ptrdiff_t>(tempi));
  float *row = scores.data(), *best = best_by_tempo.data();
  std::uint32_t *row_origin = origin.data(), *best_origin = best_by_tempo_origin.data();
  const float step = grid.key_step_cost;
  for (std::size_t k = 1; k < keys; ++k) {
    const std::size_t to = k * tempi, from = to - tempi;
    relax_from(best, best_origin, row + to, row_origin + to, tempi, 0);
    relax_from(row + to, row_origin + to, row + from, row_origin + from, tempi, step);
  }
  for (std::size_t k = keys - 1; k-- > 0;) {
    const std::size_t to = k * tempi, from = to + tempi;
    relax_from(row + to, row_origin + to, row + from, row_origin + from, tempi, step);
  }
  for (std::size_t k = 0; k < keys; ++k)
    relax_from(row + k * tempi, row_origin + k * tempi, best, best_origin, tempi, grid.key_jump_cost);
}

void transition_tempo(const StateGrid& grid, StateScores& scores, Origins& origin) {
  const std::size_t tempi = grid.quarter_s.size();
  const auto step = [&](std::size_t from, std::size_t to) {
    const float value = scores[from] - grid.tempo_step_cost;
    const bool better = value > scores[to];
    scores[to] = better ? value : scores[to];
    origin[to] = better ? origin[from] : origin[to];
  };
  for (std::size_t row = 0; row < scores.size(); row += tempi) {
    for (std::size_t t = 1; t < tempi; ++t) step(row + t - 1, row + t);
    for (std::size_t t = tempi - 1; t-- > 0;) step(row + t + 1, row + t);
  }
}

}  // namespace

void transition_octave(const StateGrid& grid, StateScores& scores, std::vector<std::uint32_t>& origin) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  if (keys < 2) return;
  const auto octave = static_cast<std::size_t>(std::lround(1200 / (grid.key_cents[1] - grid.key_cents[0])));
  const StateScores before = scores;
  const std::vector<std::uint32_t> origin_before = origin;
  for (std::size_t k = 0; k + octave < keys; ++k) {
    const std::size_t low = k * tempi, high = (k + octave) * tempi;
    relax_from(&scores[low], &origin[low], &before[high], &origin_before[high], tempi, grid.octave_cost);
    relax_from(&scores[high], &origin[high], &before[low], &origin_before[low], tempi, grid.octave_cost);
  }
}

void transition(const StateGrid& grid, StateScores& scores, std::vector<std::uint32_t>& origin) {
  transition_key(grid, scores, origin);
  transition_tempo(grid, scores, origin);
}

}  // namespace firmus::decode
