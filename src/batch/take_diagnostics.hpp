// What is wrong with a take: warnings about its recording, and why it does not pass.
#pragma once
#include <optional>

#include "firmus/batch.hpp"

namespace firmus::batch {

/// Fills `status`, `warnings` and `problem` from name and result.
void add_diagnostics(TakeOutcome& outcome, const std::optional<double>& require_percent);

}  // namespace firmus::batch
