// Scores over (key, tempo) and the random walk of both.
#pragma once
#include <cstdint>
#include <limits>
#include <vector>

namespace firmus::decode {

constexpr float log_zero = -1e30F;

/// The keys and tempi that decoding tries. Keys are offsets in cents from written to sung, tempi seconds for a quarter
/// note.
struct StateGrid {
  std::vector<double> key_cents;
  std::vector<double> quarter_s;
  float key_step_cost = 1.2F;    ///< for one key to the next
  float key_jump_cost = 14.0F;   ///< at most: a change of key
  float tempo_step_cost = 2.0F;  ///< for one tempo to the next
  int keys() const { return static_cast<int>(key_cents.size()); }
  int tempi() const { return static_cast<int>(quarter_s.size()); }
  std::size_t cells() const { return key_cents.size() * quarter_s.size(); }
};

/// One score for each (key, tempo), tempo fastest.
using StateScores = std::vector<float>;

/// Lets key and tempo walk: each cell becomes the best over cells it can come from, less the cost of the steps;
/// `origin` follows it
/// (give each cell's own number).
void transition(const StateGrid& grid, StateScores& plane, std::vector<std::uint32_t>& origin);

}  // namespace firmus::decode
