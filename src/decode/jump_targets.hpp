// Where a jump in the melody could land.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "target_notes.hpp"

namespace firmus::decode {

/// Written notes at which a path may begin, go on after a passage left out, or begin again, by boundary.
class JumpTargets {
 public:
  static constexpr std::size_t most = 48;  ///< at one boundary
  /// Of a long melody the likeliest notes at each boundary, of a short one all: before any decoding, how well what
  /// follows the boundary goes on as written from each note, by its intervals alone. Cost: boundaries x notes.
  static JumpTargets candidates_by_intervals(std::span<const float> f0_track_hz, std::span<const Boundary> boundaries,
                                             std::span<const TargetNote> line);

  /// A note that a first decoding found.
  struct Found {
    std::size_t frame = 0, written = 0;
  };
  /// What was found not far from each boundary, and the notes beside it. `found`: by time.
  static JumpTargets near(std::span<const Found> found, std::span<const Boundary> boundaries, std::size_t notes);

  /// Rising.
  std::span<const std::uint32_t> at(std::size_t boundary) const {
    return every_.empty() ? std::span(chosen_[boundary]) : std::span(every_);
  }

 private:
  std::vector<std::uint32_t> every_;  ///< where it is the same at every boundary
  std::vector<std::vector<std::uint32_t>> chosen_;
};

}  // namespace firmus::decode
