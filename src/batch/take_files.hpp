// The files written for one take, by `check` and by `grade`.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::batch {

/// STEM.json first.
std::vector<std::string> take_file_names(const std::string& stem);
/// Their contents, in the same order. `next` is the last line of the summary: what to do next; may be empty.
std::vector<std::string> take_file_contents(const Result& result, std::string_view next);

}  // namespace firmus::batch
