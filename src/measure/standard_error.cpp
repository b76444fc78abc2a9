#include "standard_error.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr double edge_doubt_s = 0.03;  ///< how far the true ends of the steady part may lie from those chosen
constexpr double floor_cents = 0.05;

double mean_of(const std::vector<double>& values, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) sum += values[i];
  return sum / static_cast<double>(to - from);
}

}  // namespace

double standard_error(const NoteSeries& series, const std::vector<double>& still_cents, Part part) {
  const double centre = mean_of(still_cents, part.from, part.to);
  const auto doubt = static_cast<std::size_t>(edge_doubt_s / frame_s);
  const double length = static_cast<double>(part.size());
  const std::size_t edge = std::min(doubt, part.size() / 3);
  const double left = mean_of(still_cents, part.from, part.from + edge) - centre;
  const double right = mean_of(still_cents, part.to - edge, part.to) - centre;
  const double share = static_cast<double>(doubt) / length;
  double rough = 0;
  for (std::size_t i = part.from + 1; i + 1 < part.to; ++i) {
    const double bend = still_cents[i - 1] - 2 * still_cents[i] + still_cents[i + 1];
    rough += bend * bend / 6;
  }
  const double noise = rough / std::max(length - 2, 1.0) * 8 / length;
  (void)series;
  return std::sqrt(floor_cents * floor_cents + share * share * (left * left + right * right) + noise);
}

}  // namespace firmus::measure
