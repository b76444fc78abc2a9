// The hypotheses of token passing (S. J. Young, N. H. Russell & J. H. S. Thornton, CUED/F-INFENG/TR.38, 1989): scores
// over (key, tempo), each with the back-pointer of its path.
#pragma once
#include <cstdint>
#include <deque>
#include <span>
#include <vector>

#include "state_grid.hpp"

namespace firmus::decode {

/// The best paths that are in one state at one position (transitions.hpp) and boundary, one for each key and tempo.
struct PathHypothesis {
  std::uint32_t position = 0;
  StateScores score;
  std::vector<std::uint32_t> back_pointer;  ///< by cell, into BackPointers
  float top = log_zero;                     ///< highest of `score`
  std::size_t top_key = 0;
  std::size_t key_from = 0, key_to = 0;  ///< keys outside this range are log_zero
};

/// Scores on their way into one state, before it is known whether they are worth keeping.
struct PendingHypotheses {
  StateScores score;
  std::vector<std::uint32_t> path_end;  ///< bits of a PathEnd
  bool active = false;

  /// Makes all cells log_zero, unless it is active already.
  void activate(const StateGrid& grid);
};

/// What is on its way into all positions of one state at one boundary. Few positions have any, so their storage is used
/// again at the next boundary and stays in the cache however long the melody is.
class PendingByPosition {
 public:
  PendingByPosition(std::size_t positions, const StateGrid& grid) : grid_(grid), slot_of_(positions, none) {}
  bool active(std::size_t position) const { return slot_of_[position] != none; }
  const PendingHypotheses& at(std::size_t position) const { return slots_[slot_of_[position]]; }
  /// Those of a position, log_zero at first. The reference is valid until `clear`.
  PendingHypotheses& activate(std::size_t position);
  /// The active positions, in order of activation, or ascending after `sort`.
  std::span<const std::uint32_t> positions() const { return positions_; }
  void sort();
  void clear();

 private:
  static constexpr auto none = static_cast<std::uint32_t>(-1);
  const StateGrid& grid_;
  std::vector<std::uint32_t> slot_of_;  ///< by position
  std::deque<PendingHypotheses> slots_;
  std::vector<std::uint32_t> positions_;
};

/// A path that begins here with this score, in the cells where nothing better arrives. `into` is active.
void begin_path(float score, PendingHypotheses& into);

/// Max-plus relaxation: into = max(into, from - cost), back-pointers following. `into` is active.
void relax(const StateGrid& grid, const PathHypothesis& from, float cost, PendingHypotheses& into);
void relax(const PendingHypotheses& from, float cost, PendingHypotheses& into);
/// into = max(into, from + by_key - less - by_tempo), with one term for each key and one for each tempo. The note that
/// ends was `joined` written notes.
void relax(const StateGrid& grid, const PathHypothesis& from, std::span<const float> by_key, float less,
           std::span<const float> by_tempo, PendingHypotheses& into, std::size_t joined = 1);

float highest(std::span<const float> scores);

}  // namespace firmus::decode
