// The mean error of the very notes of a group, as it is told, with its interval.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/habits.hpp"

namespace firmus::habits {

/// Mean of all errors, each note with the same weight, and its 95 % t interval. `errors_by_take`: in cents, one list a
/// take, possibly empty. The variance is that of independent notes, multiplied by the ratio of the variance with whole
/// takes as the observations to it (cluster-robust: Liang and Zeger 1986), at least 1 and shrunk towards 1 with
/// a weight of 3 takes. None for fewer than two notes.
std::optional<EstimateWithCi> mean_error(std::span<const std::vector<double>> errors_by_take);

}  // namespace firmus::habits
