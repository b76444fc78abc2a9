// Residuals of real takes of students, each measured against its own tuning curve.
#pragma once
#include <vector>

namespace firmus::simulation {

inline constexpr double real_spread_cents = 31;  ///< robust spread of the takes, median (measured on them)

/// One series for each take of ../shared/data: notes within 100 cents of the written one in the key sung. Empty where
/// the data are not available.
const std::vector<std::vector<double>>& real_residuals();

}  // namespace firmus::simulation
