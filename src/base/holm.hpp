// Adjusted p-values for several tests at once.
#pragma once
#include <span>
#include <vector>

namespace firmus {

/// Holm's step-down adjustment (Holm 1979, "A simple sequentially rejective multiple test procedure"). The k-th
/// smallest of m p-values is multiplied by m + 1 - k; an adjusted value is never smaller than the one before it, nor
/// above 1. Rejecting where the adjusted value is at most alpha keeps the chance of any false rejection at alpha,
/// whatever the dependence between the tests. Results in the order of `p`; empty for none.
std::vector<double> holm_adjusted(std::span<const double> p);

}  // namespace firmus
