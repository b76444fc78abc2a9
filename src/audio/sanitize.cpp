#include "sanitize.hpp"

#include <cmath>

namespace firmus::audio {
namespace {

/// Full scale of 32-bit integers stored as floats: larger values are errors.
constexpr float largest_value = 2147483648.0F;

bool has_bad_value(std::span<const float> values) {
  int bad = 0;
#pragma omp simd reduction(| : bad)
  for (std::size_t i = 0; i < values.size(); ++i) bad |= !(std::fabs(values[i]) <= largest_value);  // true for NaN too
  return bad != 0;
}

}  // namespace

std::int64_t sanitize(std::span<float> values) {
  if (!has_bad_value(values)) return 0;
  std::int64_t count = 0;
  for (float& value : values)
    if (!(std::fabs(value) <= largest_value)) {
      value = 0;
      ++count;
    }
  return count;
}

}  // namespace firmus::audio
