// The exit status of the program.
#pragma once
#include <initializer_list>

namespace firmus::cli {

/// `program_failed`: memory, threads or an error of the program's own ended it; nothing is wrong with what it was
/// given.
enum ExitStatus : int {
  done = 0,
  take_not_measured = 1,
  wrong_input = 2,
  below_required = 3,
  not_written = 4,
  program_failed = 5
};

/// The more important of the two: the first of 2, 4, 1, 3, 0.
inline ExitStatus first_of(ExitStatus a, ExitStatus b) {
  for (const ExitStatus status : {wrong_input, not_written, take_not_measured, below_required})
    if (a == status || b == status) return status;
  return done;
}

}  // namespace firmus::cli
