#include "base/holm.hpp"

#include <algorithm>
#include <numeric>

namespace firmus {

std::vector<double> holm_adjusted(std::span<const double> p) {
  std::vector<std::size_t> order(p.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return p[a] < p[b]; });
  std::vector<double> adjusted(p.size());
  double largest = 0;
  for (std::size_t k = 0; k < order.size(); ++k) {
    largest = std::max(largest, std::min(1.0, p[order[k]] * static_cast<double>(order.size() - k)));
    adjusted[order[k]] = largest;
  }
  return adjusted;
}

}  // namespace firmus
