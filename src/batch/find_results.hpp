// Results that were written before, from files and folders.
#pragma once
#include <string>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::batch {

struct FoundResults {
  std::vector<TrendTake> takes;
  std::vector<Problem> damaged;  ///< those that cannot be read
};

/// The result in one file. Throws InputError where it cannot be read.
Result read_result_file(const std::string& path);

/// Reads each file named, and all files below each folder named, in the order of their paths, without folders called
/// `private`. In folders, files that are no results are skipped; a file that is named must be one. The same content
/// found twice counts once. Throws InputError where a path is neither file nor folder.
FoundResults find_results(const std::vector<std::string>& paths);

}  // namespace firmus::batch
