// What it costs to take one sound for several written notes of one pitch.
#pragma once
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "decode/decode.hpp"
#include "target_notes.hpp"

namespace firmus::decode {

/// A sound from frame `begin` to `end` as target note `from` and those after it, `count` in all. Costs by tempo are
/// valid until the next call. Spans and costs must outlive the object.
class JoinedCost {
 public:
  JoinedCost(const Observations& observed, std::span<const TargetNote> targets, std::span<const double> quarter_s,
             const Costs& costs);
  struct Sound {
    std::size_t begin = 0, end = 0, from = 0, count = 2;
  };
  /// The next target note begins at `end`: the sound has the length of all of them, and the last one is heard.
  std::span<const float> before_next(const Sound& sound);
  /// No note follows at once: the last one is heard.
  std::span<const float> before_rest(const Sound& sound);

 private:
  float unheard(const Sound& sound, double frames_per_quarter) const;
  std::span<const TargetNote> targets_;
  std::span<const double> quarter_s_;
  const Costs& costs_;
  std::vector<std::uint32_t> sounding_before_;  ///< by frame: voiced and loud frames before it
  std::vector<float> log_quarter_s_, by_tempo_;
};

}  // namespace firmus::decode
