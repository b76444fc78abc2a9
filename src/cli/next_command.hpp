// What a user may type after a result.
#pragma once
#include <string>

#include "check_options.hpp"

namespace firmus::cli {

/// A command line; empty for a take that could not be measured.
std::string next_command(const CheckCommand& command, const std::string& take, const Result& result);

}  // namespace firmus::cli
