#include "percentile.hpp"

#include <algorithm>
#include <cstddef>

namespace firmus {

double percentile(std::vector<float> values, double share) {
  if (values.empty()) return 0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace firmus
