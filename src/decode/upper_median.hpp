#pragma once
#include <algorithm>
#include <cstddef>
#include <vector>

namespace firmus::decode {

/// Middle value; of an even number of values the upper of the two middle ones, so that it is one of the values. Not of
/// an empty vector.
template <class T>
T upper_median(std::vector<T> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace firmus::decode
