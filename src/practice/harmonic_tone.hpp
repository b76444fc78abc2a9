// A steady harmonic tone, sample by sample.
#pragma once
#include <vector>

namespace firmus::practice {

/// Up to 8 harmonics at exact multiples of `hz` below 0.42 of the sampling rate, with falling amplitudes; RMS 1. The
/// phase is computed from the time since the tone's first sample, so that no rounding error accumulates.
class HarmonicTone {
 public:
  explicit HarmonicTone(double hz);
  double at(double seconds) const;

 private:
  double hz_;
  std::vector<double> amplitudes_;  ///< of harmonic 1, 2, ...
};

}  // namespace firmus::practice
