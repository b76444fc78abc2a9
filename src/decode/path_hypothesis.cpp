#include "path_hypothesis.hpp"

#include <algorithm>

#include "back_pointers.hpp"
#include "base/simd.hpp"

namespace firmus::decode {
namespace {

/// One row of tempi: into = max(into, from + gain - by_tempo). The rows of a grid do not overlap.
FIRMUS_INLINE void relax_row(const float* __restrict from, const std::uint32_t* __restrict from_pointer, float gain,
                             const float* __restrict by_tempo, std::size_t tempi, std::uint32_t joined_bits,
                             float* __restrict into, std::uint32_t* __restrict into_pointer) {
#pragma omp simd
  for (std::size_t t = 0; t < tempi; ++t) {
    const float value = from[t] + gain - by_tempo[t], old = into[t];
    into[t] = value > old ? value : old;
    into_pointer[t] = value > old ? (from_pointer[t] | joined_bits) : into_pointer[t];
  }
}

FIRMUS_MULTIVERSION void relax_cells(const float* __restrict from, const std::uint32_t* __restrict from_pointer,
                                     float cost, std::size_t cells, float* __restrict into,
                                     std::uint32_t* __restrict into_pointer) {
#pragma omp simd
  for (std::size_t c = 0; c < cells; ++c) {
    const float value = from[c] - cost, old = into[c];
    into[c] = value > old ? value : old;
    into_pointer[c] = value > old ? from_pointer[c] : into_pointer[c];
  }
}

/// The rows of keys key_from to before key_to, each with its own gain.
FIRMUS_MULTIVERSION void relax_rows(const float* from, const std::uint32_t* from_pointer, std::size_t key_from,
                                    std::size_t key_to, const float* by_key, float less, const float* by_tempo,
                                    std::size_t tempi, std::uint32_t joined_bits, float* into,
                                    std::uint32_t* into_pointer) {
  for (std::size_t k = key_from; k < key_to; ++k) {
    const std::size_t row = k * tempi;
    relax_row(from + row, from_pointer + row, by_key[k] - less, by_tempo, tempi, joined_bits, into + row,
              into_pointer + row);
  }
}

FIRMUS_MULTIVERSION float highest_of(const float* cells, std::size_t count) {
  float8 tops, next;
  for (int i = 0; i < lanes; ++i) tops[i] = log_zero;
  std::size_t c = 0;
  for (; c + lanes <= count; c += lanes) {
    load(cells + c, next);
    tops = next > tops ? next : tops;
  }
  float top = log_zero;
  for (int i = 0; i < lanes; ++i) top = std::max(top, tops[i]);
  for (; c < count; ++c) top = std::max(top, cells[c]);
  return top;
}

}  // namespace

void PendingHypotheses::activate(const StateGrid& grid) {
  if (active) return;
  active = true;
  score.assign(grid.cells(), log_zero);
  path_end.resize(grid.cells());  // those of log_zero are never followed
}

PendingHypotheses& PendingByPosition::activate(std::size_t position) {
  if (active(position)) return slots_[slot_of_[position]];
  const std::size_t slot = positions_.size();
  if (slot == slots_.size()) slots_.emplace_back();
  slot_of_[position] = static_cast<std::uint32_t>(slot);
  positions_.push_back(static_cast<std::uint32_t>(position));
  slots_[slot].active = false;
  slots_[slot].activate(grid_);
  return slots_[slot];
}

void PendingByPosition::sort() {
  std::ranges::sort(positions_);
}

void PendingByPosition::clear() {
  for (const std::uint32_t position : positions_) slot_of_[position] = none;
  positions_.clear();
}

void begin_path(float score, PendingHypotheses& into) {
  for (std::size_t c = 0; c < into.score.size(); ++c) {
    if (into.score[c] >= score) continue;
    into.score[c] = score;
    into.path_end[c] = 0;  // its storage may hold a path of an earlier boundary
  }
}

void relax(const StateGrid& grid, const PathHypothesis& from, float cost, PendingHypotheses& into) {
  const std::size_t tempi = grid.quarter_s.size(), begin = from.key_from * tempi;
  relax_cells(from.score.data() + begin, from.back_pointer.data() + begin, cost, (from.key_to - from.key_from) * tempi,
              into.score.data() + begin, into.path_end.data() + begin);
}

void relax(const PendingHypotheses& from, float cost, PendingHypotheses& into) {
  relax_cells(from.score.data(), from.path_end.data(), cost, from.score.size(), into.score.data(),
              into.path_end.data());
}

void relax(const StateGrid& grid, const PathHypothesis& from, std::span<const float> by_key, float less,
           std::span<const float> by_tempo, PendingHypotheses& into, std::size_t joined) {
  relax_rows(from.score.data(), from.back_pointer.data(), from.key_from, from.key_to, by_key.data(), less,
             by_tempo.data(), grid.quarter_s.size(), PathEnd::joined_bits(joined), into.score.data(),
             into.path_end.data());
}

float highest(std::span<const float> scores) {
  return highest_of(scores.data(), scores.size());
}

}  // namespace firmus::decode
