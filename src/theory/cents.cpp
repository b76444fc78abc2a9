#include <cmath>

#include "firmus/theory.hpp"

namespace firmus {

Cents cents_between(Hertz reference, Hertz frequency) {
  return Cents(1200.0 * std::log2(frequency / reference));
}

Hertz transposed(Hertz reference, Cents interval) {
  return reference * std::exp2(interval / 1200);
}

int whole_octaves(Cents interval, Cents within) {
  const double octaves = std::round(interval / 1200);
  return std::abs(interval - 1200 * octaves) <= within ? static_cast<int>(octaves) : 0;
}

double midi_from_hz(Hertz frequency, Hertz a4) {
  return 69.0 + 12.0 * std::log2(frequency / a4);
}

Hertz hz_from_midi(double midi, Hertz a4) {
  return a4 * std::exp2((midi - 69.0) / 12.0);
}

}  // namespace firmus
