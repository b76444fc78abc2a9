// A melody as the search sees it: one entry for each written note, and how well a duration fits.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "costs.hpp"
#include "firmus/melody.hpp"

namespace firmus::decode {

struct TargetNote {
  double pitch_cents = 0;  ///< 100 x MIDI key
  double onset_quarters = 0;
  float skip_cost = 0;  ///< of leaving it out
  bool begins_phrase = false;
  bool free_time = false;  ///< may be held for any time
  double length_quarters = 0;
  std::size_t same_after = 0;  ///< notes right after it, with no rest or breath between, of the same pitch
};

std::vector<TargetNote> target_notes_of(const Melody& melody, const Costs& costs);

/// The cost of the time between two onsets, for every tempo at once. Spans and costs must outlive the object.
class DurationCost {
 public:
  DurationCost(std::span<const TargetNote> targets, std::span<const double> quarter_s, const Costs& costs);
  /// Costs by tempo of `seconds` from the onset of target `from` to that of target `to`; valid until the next call. The
  /// time of target notes left out between may be kept or left out as well, whichever costs less.
  std::span<const float> of(float seconds, std::size_t from, std::size_t to);

 private:
  float cost(float log_ratio) const;
  std::span<const TargetNote> targets_;
  const Costs& costs_;
  std::vector<float> log_quarter_s_, by_tempo_;
};

}  // namespace firmus::decode
