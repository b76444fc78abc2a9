// All files of one take, as `check --out` and `grade` write them.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::cli {

/// STEM.json first.
std::vector<std::string> take_file_names(const std::string& stem);
/// Their contents, in the same order. `next`: the command that the summary ends with.
std::vector<std::string> take_file_contents(const Result& result, std::string_view next);

}  // namespace firmus::cli
