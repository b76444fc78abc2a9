// What flows along the lattice: scores over (key, tempo), each with the last event on its path.
#pragma once
#include <cstdint>
#include <deque>
#include <span>
#include <vector>

#include "state_grid.hpp"

namespace firmus::decode {

/// Paths that are in one place: at the start of a written note, in an extra note, or waiting after so many notes.
struct PathHypothesis {
  std::uint32_t place = 0;
  StateScores score;
  std::vector<std::uint32_t> back_pointer;
  float top = log_zero;  ///< the best of `score`
  std::size_t top_key = 0;
  std::size_t key_from = 0, key_to = 0;  ///< keys outside are impossible
};

/// What flows into one place, before it is known whether it is worth keeping.
struct PendingHypotheses {
  StateScores score;
  std::vector<std::uint32_t> back_pointer;
  bool touched = false;
};

/// The inflows of all places of one kind at one boundary. Few places have one, so their planes are used again, boundary
/// after boundary, and stay in the cache however long the melody is.
class PendingByPosition {
 public:
  PendingByPosition(std::size_t places, const StateGrid& grid) : grid_(grid), plane_of_(places, none) {}
  bool touched(std::size_t place) const { return plane_of_[place] != none; }
  const PendingHypotheses& at(std::size_t place) const { return planes_[plane_of_[place]]; }
  /// Empty at first. Stays where it is until `clear`.
  PendingHypotheses& activate(std::size_t place);
  /// In any order; sorted by `sort`.
  std::span<const std::uint32_t> places() const { return places_; }
  void sort();
  void clear();

 private:
  static constexpr auto none = static_cast<std::uint32_t>(-1);
  const StateGrid& grid_;
  std::vector<std::uint32_t> plane_of_;  ///< by place
  std::deque<PendingHypotheses> planes_;
  std::vector<std::uint32_t> places_;
};

void activate(const StateGrid& grid, PendingHypotheses& inflow);

/// into = max(into, from - cost), the events following. Both open.
void relax(const StateGrid& grid, const PathHypothesis& from, float cost, PendingHypotheses& into);
void relax(const PendingHypotheses& from, float cost, PendingHypotheses& into);
/// ... with a gain for each key and a cost for each tempo.
void relax(const StateGrid& grid, const PathHypothesis& from, std::span<const float> by_key, float less,
           std::span<const float> by_tempo, PendingHypotheses& into);

float highest(std::span<const float> plane);

}  // namespace firmus::decode
