// A second voice or an accompaniment under the measured one: what is left when the measured voice is taken out is
// periodic too, at an unrelated pitch.
#pragma once
#include <cstdint>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::measure {

/// Looks at single moments of a take; keeps its buffers.
class SecondPitchDetector {
 public:
  explicit SecondPitchDetector(const Samples& samples) : samples_(samples) {}
  /// Whether another pitch sounds at `frame` beside the voice at `f0_hz`. A second voice an octave or twelfth away,
  /// whose harmonics are all the first one's, cannot be heard this way.
  bool detects(std::int64_t frame, double f0_hz);

 private:
  double subtract_harmonics(double f0_hz);
  double unrelated_hz(double f0_hz) const;

  const Samples& samples_;
  std::vector<float> sound_, residual_, decimated_;
};

}  // namespace firmus::measure
