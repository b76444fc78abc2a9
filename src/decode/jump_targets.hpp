// Where a jump in the melody could land: before decoding, how well what follows a boundary goes on as written from
// each note, by its intervals alone.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "boundaries.hpp"
#include "written_line.hpp"

namespace firmus {

/// Of a long melody only the likeliest notes at each boundary; of a short one all. Cost: boundaries x notes.
class JumpTargets {
 public:
  static constexpr std::size_t most = 48;  ///< at one boundary
  JumpTargets(const Evidence& evidence, std::span<const Boundary> boundaries, std::span<const LineNote> line);
  /// Written notes, rising; the first note is always among them.
  std::span<const std::uint32_t> at(std::size_t boundary) const {
    return every_.empty() ? std::span(chosen_[boundary]) : std::span(every_);
  }

 private:
  std::vector<std::uint32_t> every_;  ///< of a short melody
  std::vector<std::vector<std::uint32_t>> chosen_;
};

}  // namespace firmus
