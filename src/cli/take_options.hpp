// The options by which any command reads a take.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "arguments.hpp"
#include "exit_status.hpp"
#include "firmus/audio.hpp"

namespace firmus::cli {

struct RawTakeOptions {
  std::optional<std::string> longest, decoder;
};

void add_take_options(Arguments& arguments, RawTakeOptions& raw);
ReadOptions resolve(const RawTakeOptions& raw);

inline constexpr int most_jobs = 256;
/// A thread for each core.
int default_jobs();

/// Puts a text that was asked for, or the help, on standard output.
ExitStatus show(std::string_view text);
ExitStatus show_help(const Arguments& arguments);

}  // namespace firmus::cli
