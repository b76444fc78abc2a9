// The grid of hidden states that every path carries along: key x tempo.
#pragma once
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace firmus::decode {

/// Log probability of the impossible. Finite, so that costs can be subtracted from it.
constexpr float log_zero = -1e30F;

/// The keys and tempi of one search. A key is the offset from written to sung pitch in cents, a tempo the length of a
/// quarter note in seconds.
struct StateGrid {
  std::vector<double> key_cents;
  std::vector<double> quarter_s;
  float key_step_cost = 1.2F;    ///< from a key to the next
  float key_jump_cost = 14.0F;   ///< from a key to any other, where that is less than the sum of the steps
  float octave_cost = 10.0F;     ///< an octave up or down at the start of a phrase
  float tempo_step_cost = 2.0F;  ///< from a tempo to the next
  std::size_t cells() const { return key_cents.size() * quarter_s.size(); }
};

/// One score for each (key, tempo): index key * tempi + tempo.
using StateScores = std::vector<float>;

/// One step of the random walk of key and tempo: each cell becomes the maximum over all cells of their score less the
/// cost of the way from them (a distance transform, Felzenszwalb & Huttenlocher 2012). `origin` is permuted with the
/// scores: filled with each cell's own index, it holds afterwards the cell that each score came from.
void transition(const StateGrid& grid, StateScores& scores, std::vector<std::uint32_t>& origin);

/// Before it, at the start of a phrase: each cell becomes the maximum over it and those of the keys an octave away,
/// less `octave_cost`. A verse that lies too high is sung an octave lower, more often than in any other key.
void transition_octave(const StateGrid& grid, StateScores& scores, std::vector<std::uint32_t>& origin);

}  // namespace firmus::decode
