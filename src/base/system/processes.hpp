// This process, other processes, and programs that are run.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <system_error>
#include <vector>

namespace firmus::system {

int process_id();

/// "unknown" where the system does not say.
std::string host_name();

/// Whether a process of this host has ended. One of another user counts as running.
bool has_ended(int process);

/// When a process of this host began, in ticks of the system's own clock. It distinguishes two processes that were
/// given the same number one after the other. Empty where the system does not say (no /proc).
std::string start_time_of(int process);

/// What a program did that was run to its end.
struct ProgramRun {
  std::error_code not_started;        ///< why it could not be started; the rest is then without meaning
  std::optional<std::string> output;  ///< its standard output; nullopt: it wrote too much and was ended
  std::string messages;               ///< the end of its standard error, 4096 bytes at most
  int exit_status = 0;
  std::optional<int> signal;  ///< that ended it
  bool succeeded() const { return exit_status == 0 && !signal; }
};

/// Runs the program words[0], looked for in PATH, with the arguments words[1], ...; its standard input is empty.
/// It ends when this process ends (on Linux), and signals of the terminal do not reach it. Throws std::system_error
/// where no pipe can be made.
ProgramRun run_program(std::vector<std::string> words, std::int64_t most_output_bytes);

}  // namespace firmus::system
