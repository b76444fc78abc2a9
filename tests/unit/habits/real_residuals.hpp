// What real takes of students leave when each is measured against its own centre line.
#pragma once
#include <vector>

namespace firmus::simulation {

inline constexpr double real_spread_cents = 31;  ///< robust spread of the takes, median (measured on them)

/// One series a take of ../shared/data: notes within 100 cents of the written one in the key sung; none where the data
/// are not there.
const std::vector<std::vector<double>>& real_residuals();

}  // namespace firmus::simulation
