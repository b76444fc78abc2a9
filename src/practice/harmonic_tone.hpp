// A steady tone of harmonics, sample by sample.
#pragma once
#include <vector>

namespace firmus::practice {

/// Harmonics at exact multiples of `hz`, those below the limit of hearing and of the sampling rate, softer upwards; RMS
/// 1. The phase is counted from the tone's first sample, so that no error adds up.
class HarmonicTone {
 public:
  explicit HarmonicTone(double hz);
  double at(double seconds) const;

 private:
  double hz_;
  std::vector<double> amplitudes_;  ///< of harmonic 1, 2, ...
};

}  // namespace firmus::practice
