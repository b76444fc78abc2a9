#pragma once
#include <vector>

namespace firmus {

/// The value below which a share of `values` lies, 0 to 1, without interpolation; 0 of none.
double percentile(std::vector<float> values, double share);

}  // namespace firmus
