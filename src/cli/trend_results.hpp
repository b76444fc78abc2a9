// The results that a command is to look at, from files and folders.
#pragma once
#include <string>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::cli {

struct FoundResults {
  std::vector<TrendTake> takes;
  std::vector<Problem> damaged;  ///< those that cannot be read
};

/// Reads each file named, and of each folder all that is in it (`private` folders apart) by the order of the paths. In
/// folders, JSON of another schema and other files are passed over; a file that is named must be a result. A result
/// found twice counts once. Throws InputError where a path is no file or folder.
FoundResults find_results(const std::vector<std::string>& paths);

}  // namespace firmus::cli
