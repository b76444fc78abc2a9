// One take of `firmus check`, from its name to all that is to be written about it; runs on any thread.
#pragma once
#include <exception>
#include <string>
#include <utility>
#include <vector>

#include "check_options.hpp"
#include "exit_status.hpp"

namespace firmus::cli {

struct CheckedTake {
  std::string output;                                      ///< for standard output
  std::vector<std::pair<std::string, std::string>> files;  ///< name and content, for --out
  std::vector<std::string> diagnostics;                    ///< lines for standard error
  ExitStatus status = done;
  std::exception_ptr ends_the_run;  ///< an InputError or WriteError that is not about this take alone
};

/// Never throws.
CheckedTake check_take(const CheckPlan& plan, const std::string& take);

/// What to type next, after this result.
std::string next_command(const CheckPlan& plan, const std::string& take, const Result& result);

}  // namespace firmus::cli
