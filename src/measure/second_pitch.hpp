// A second pitch (another voice, an accompaniment) beside the measured one: the residual after the measured pitch is
// cancelled is periodic too, at an unrelated pitch.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::measure {

/// Whether f0 stays where it is for as long as a frame is looked at (75 ms). Where it moves, by vibrato or in a trill,
/// what is left after the measured pitch is cancelled is the same voice.
bool holds_pitch(std::span<const float> refined_hz, std::size_t frame);

/// Analyses single frames of a take; keeps its buffers.
class SecondPitchDetector {
 public:
  explicit SecondPitchDetector(const Samples& samples) : samples_(samples) {}
  /// Whether another pitch sounds at `frame` beside the one at `f0_hz`. A second pitch an octave or twelfth above,
  /// whose harmonics all coincide with the first one's, is not detected.
  bool detects(std::int64_t frame, double f0_hz);

 private:
  double subtract_harmonics(double f0_hz);
  double unrelated_hz(double f0_hz) const;

  const Samples& samples_;
  std::vector<float> sound_, residual_, decimated_;
};

}  // namespace firmus::measure
