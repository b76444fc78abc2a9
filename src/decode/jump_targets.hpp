// Target notes that a jump in the melody may lead to.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "target_notes.hpp"

namespace firmus::decode {

/// The target notes at which a path may begin, go on after a passage left out, or begin again, for each boundary.
class JumpTargets {
 public:
  static constexpr std::size_t most = 48;  ///< at one boundary
  /// Before any search. Of a melody of at most `most` notes all of them; of a longer one the notes from which the
  /// intervals after the boundary match the written ones best. Time: boundaries x notes.
  static JumpTargets candidates_by_intervals(std::span<const float> f0_track_hz, std::span<const Boundary> boundaries,
                                             std::span<const TargetNote> targets);

  /// A note that a first search found.
  struct Found {
    std::size_t frame = 0, written = 0;
  };
  /// The notes found within 2 s of each boundary, and their neighbours in the melody. `found`: by time.
  static JumpTargets near(std::span<const Found> found, std::span<const Boundary> boundaries, std::size_t notes);

  /// Indices of target notes, ascending.
  std::span<const std::uint32_t> at(std::size_t boundary) const {
    return every_.empty() ? std::span(chosen_[boundary]) : std::span(every_);
  }

 private:
  std::vector<std::uint32_t> every_;                ///< of all boundaries; empty: see chosen_
  std::vector<std::vector<std::uint32_t>> chosen_;  ///< by boundary
};

}  // namespace firmus::decode
