// One take compared with an earlier take of the same melody: whether it is better, what is solved and what is new.
#pragma once
#include <optional>

#include "firmus/error.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// Why `earlier` cannot be compared with takes of `melody` measured with `settings`, and what would be right; none
/// where it can. It must be measured, of the same notes, and with the same reference, tolerance and tuning. `name` is
/// the name of its file.
std::optional<Problem> reason_not_comparable(const Result& earlier, const Melody& melody, const Settings& settings,
                                             const std::string& name);

/// Compares two takes of `melody` that can be compared. The mean absolute errors are over the written notes judged in
/// both; the change is the mean of its paired differences, with a t interval that allows for the autocorrelation of
/// neighbouring notes (see lag1_autocorrelation). A recurring problem of the earlier take is solved where the change of
/// its notes is significant and less than 10 cents of it are left; single notes where the change is an outlier among
/// those of all notes (Cook and Weisberg 1982, externally studentized). Each kind is tested at 5 % for all its tests
/// together.
Since compare_since(const Result& earlier, const Result& now, const Melody& melody);

}  // namespace firmus
