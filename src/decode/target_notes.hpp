// A melody as decoding sees it: one entry for each written note.
#pragma once
#include <span>
#include <vector>

#include "costs.hpp"
#include "firmus/melody.hpp"

namespace firmus::decode {

struct TargetNote {
  double pitch_cents = 0;  ///< 100 x MIDI key
  double onset_quarters = 0;
  float skip_cost = 0;
  bool begins_phrase = false;
  bool free_time = false;  ///< may be held as long as the singer likes
};

std::vector<TargetNote> target_notes_of(const Melody& melody, const Costs& costs);

/// What the time between two starts costs, for every tempo.
class DurationCost {
 public:
  DurationCost(std::span<const TargetNote> line, std::span<const double> quarter_s, const Costs& costs);
  /// Cost of so many seconds from the start of note `from` to that of note `to`. Where notes between were left out,
  /// their time may be kept or left out too.
  std::span<const float> of(float seconds, std::size_t from, std::size_t to);

 private:
  float cost(float log_ratio) const;
  std::span<const TargetNote> line_;
  const Costs& costs_;
  std::vector<float> log_quarter_s_, by_tempo_;
};

}  // namespace firmus::decode
