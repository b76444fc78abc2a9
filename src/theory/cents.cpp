#include <cmath>

#include "firmus/theory.hpp"

namespace firmus {

double cents_between(double reference_hz, double hz) {
  return 1200.0 * std::log2(hz / reference_hz);
}

double midi_from_hz(double hz, double a4_hz) {
  return 69.0 + 12.0 * std::log2(hz / a4_hz);
}

double hz_from_midi(double midi, double a4_hz) {
  return a4_hz * std::exp2((midi - 69.0) / 12.0);
}

}  // namespace firmus
