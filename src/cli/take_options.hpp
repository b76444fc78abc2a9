// Options of all commands that read takes or print results.
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

/// One for each core, 256 at most.
int default_jobs();
/// The value of --jobs.
/// Says in one line that ffmpeg is used, at the first of the takes that it reads.
void tell_of_ffmpeg(const std::vector<std::string>& takes, const ReadOptions& options);

int jobs_value(const std::optional<std::string>& text);

enum class OutputFormat { text, json, csv };
/// The value of --format; text where it is not given.
OutputFormat format_value(const std::optional<std::string>& text);

/// Prints a text, or the help, as the command's only output.
ExitStatus show(std::string_view text);
ExitStatus show_help(const Arguments& arguments);

}  // namespace firmus::cli
