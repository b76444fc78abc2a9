#pragma once
#include <span>

namespace firmus::evidence {

/// Sum of squares.
float energy_of(std::span<const float> frame);

}  // namespace firmus::evidence
