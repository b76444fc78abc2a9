#include "noise_variance.hpp"

#include <algorithm>

namespace firmus::measure {
namespace {

constexpr double frames_per_independent_value = 8;  ///< neighbouring frames overlap
constexpr double largest_second_difference_cents =
    20;  ///< clipped here: a frame further off is a slip, which a median ignores

}  // namespace

double noise_variance_of_mean(const std::vector<double>& cents, Part part, std::size_t lag) {
  double sum = 0;
  for (std::size_t i = part.from + lag; i + lag < part.to; ++i) {
    const double second_difference = cents[i - lag] - 2 * cents[i] + cents[i + lag];
    sum += std::min(second_difference * second_difference,
                    largest_second_difference_cents * largest_second_difference_cents) /
           6;
  }
  const double length = static_cast<double>(part.size());
  return sum / std::max(length - 2 * static_cast<double>(lag), 1.0) * frames_per_independent_value / length;
}

}  // namespace firmus::measure
