#include "token.hpp"

#include <algorithm>

namespace firmus {
namespace {

/// One row of tempi: into = max(into, from + gain - by_tempo). The rows of a grid do not overlap.
void offer_row(const float* __restrict from, const std::uint32_t* __restrict from_event, float gain,
               const float* __restrict by_tempo, std::size_t tempi, float* __restrict into,
               std::uint32_t* __restrict into_event) {
#pragma omp simd
  for (std::size_t t = 0; t < tempi; ++t) {
    const float value = from[t] + gain - by_tempo[t], old = into[t];
    into[t] = value > old ? value : old;
    into_event[t] = value > old ? from_event[t] : into_event[t];
  }
}

void offer_cells(const float* __restrict from, const std::uint32_t* __restrict from_event, float cost,
                 std::size_t cells, float* __restrict into, std::uint32_t* __restrict into_event) {
#pragma omp simd
  for (std::size_t c = 0; c < cells; ++c) {
    const float value = from[c] - cost, old = into[c];
    into[c] = value > old ? value : old;
    into_event[c] = value > old ? from_event[c] : into_event[c];
  }
}

}  // namespace

void open(const Grid& grid, Inflow& inflow) {
  if (inflow.touched) return;
  inflow.touched = true;
  inflow.score.assign(grid.cells(), impossible);
  inflow.last_event.assign(grid.cells(), 0);
}

Inflow& Inflows::open(std::size_t place) {
  Inflow& inflow = inflows_[place];
  if (!inflow.touched) {
    firmus::open(grid_, inflow);
    places_.push_back(static_cast<std::uint32_t>(place));
  }
  return inflow;
}

void Inflows::sort() {
  std::ranges::sort(places_);
}

void Inflows::clear() {
  for (const std::uint32_t place : places_) inflows_[place].touched = false;
  places_.clear();
}

void offer(const Grid& grid, const Token& from, float cost, Inflow& into) {
  const std::size_t tempi = grid.quarter_s.size(), begin = from.key_from * tempi;
  offer_cells(from.score.data() + begin, from.last_event.data() + begin, cost, (from.key_to - from.key_from) * tempi,
              into.score.data() + begin, into.last_event.data() + begin);
}

void offer(const Inflow& from, float cost, Inflow& into) {
  offer_cells(from.score.data(), from.last_event.data(), cost, from.score.size(), into.score.data(),
              into.last_event.data());
}

void offer(const Grid& grid, const Token& from, std::span<const float> by_key, float less,
           std::span<const float> by_tempo, Inflow& into) {
  const std::size_t tempi = grid.quarter_s.size();
  for (std::size_t k = from.key_from; k < from.key_to; ++k) {
    const std::size_t row = k * tempi;
    offer_row(from.score.data() + row, from.last_event.data() + row, by_key[k] - less, by_tempo.data(), tempi,
              into.score.data() + row, into.last_event.data() + row);
  }
}

float top_of(std::span<const float> plane) {
  float top = impossible;
#pragma omp simd reduction(max : top)
  for (std::size_t c = 0; c < plane.size(); ++c) top = std::max(top, plane[c]);
  return top;
}

}  // namespace firmus
