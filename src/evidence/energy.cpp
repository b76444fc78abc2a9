#include "energy.hpp"

#include <cstddef>

namespace firmus::evidence {

float energy_of(std::span<const float> frame) {
  float energy = 0;
#pragma omp simd reduction(+ : energy)
  for (std::size_t i = 0; i < frame.size(); ++i) energy += frame[i] * frame[i];
  return energy;
}

}  // namespace firmus::evidence
