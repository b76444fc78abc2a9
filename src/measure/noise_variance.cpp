#include "noise_variance.hpp"

#include <algorithm>

namespace firmus::measure {
namespace {

constexpr double frames_that_tell_one = 8;  ///< neighbouring frames overlap
constexpr double most_bend_cents = 20;      ///< a frame further off is a slip, which a median leaves out

}  // namespace

double variance_of_noise(const std::vector<double>& cents, Part part, std::size_t lag) {
  double sum = 0;
  for (std::size_t i = part.from + lag; i + lag < part.to; ++i) {
    const double bend = cents[i - lag] - 2 * cents[i] + cents[i + lag];
    sum += std::min(bend * bend, most_bend_cents * most_bend_cents) / 6;
  }
  const double length = static_cast<double>(part.size());
  return sum / std::max(length - 2 * static_cast<double>(lag), 1.0) * frames_that_tell_one / length;
}

}  // namespace firmus::measure
