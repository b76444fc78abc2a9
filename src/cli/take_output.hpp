// What a command that measures many takes prints while it works, and the exit status that results.
#pragma once
#include <cstddef>

#include "exit_status.hpp"
#include "firmus/batch.hpp"
#include "streams.hpp"

namespace firmus::cli {

enum class Warnings { shown, suppressed };

class TakeOutput {
 public:
  /// Without warnings there is no progress either.
  TakeOutput(std::size_t takes, Warnings warnings)
      : warnings_(warnings), progress_(takes, warnings == Warnings::shown) {}
  /// Diagnostics of one take, then the progress of all.
  void report(const TakeOutcome& outcome);
  void clear_progress() { progress_.clear(); }
  ExitStatus status() const { return status_; }
  /// Flushes standard output and ends the program. Throws WriteError.
  [[noreturn]] void end_by(int signal);

 private:
  Warnings warnings_;
  Progress progress_;
  std::size_t finished_ = 0;
  ExitStatus status_ = done;
};

}  // namespace firmus::cli
