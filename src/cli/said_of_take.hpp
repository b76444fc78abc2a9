// What is said on standard error of one take, and what it makes of the exit status.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "exit_status.hpp"
#include "firmus/result.hpp"

namespace firmus::cli {

struct SaidOfTake {
  std::vector<std::string> lines;
  ExitStatus status = done;
};

enum class Warnings { told, kept };

/// `name`: the take as the user knows it.
SaidOfTake said_of(const Result& result, const std::string& name, const std::optional<double>& require_percent,
                   Warnings warnings);

/// Measured, but it is another melody.
bool is_other_melody(const Result& result);

}  // namespace firmus::cli
