// Standard output, whose every write is checked, and standard error, for diagnostics.
#pragma once
#include <chrono>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"
#include "firmus/report.hpp"

namespace firmus::cli {

/// Before anything is opened: descriptors 0 to 2 that came closed are filled, so that no file takes their place, and
/// SIGPIPE ends the program, as it does other filters.
void prepare_streams();

/// Throws WriteError when standard output came closed. Called before the work.
void require_output();
/// Throws WriteError when it cannot be written.
void put(std::string_view text);
/// To the reader now. Throws WriteError.
void flush_output();

/// Only where it can be seen and is not unwanted (no-color.org: NO_COLOR present and not empty).
Colour colour_wanted();

/// One line, "firmus: TEXT", on standard error.
void diagnose(std::string_view text);
/// One line for each problem.
void diagnose(const std::vector<Problem>& problems);
/// "firmus: FILE:LINE:COLUMN: warning: ..."
void warn(const Problem& problem);

/// How far many takes are, how fast it goes and how long it takes still: one line on standard error, only on a
/// terminal, rewritten in place.
std::string progress_line(std::size_t finished, std::size_t total, double seconds);
class Progress {
 public:
  Progress(std::size_t total, bool wanted);
  ~Progress() { clear(); }
  void show(std::size_t finished);
  void clear();  ///< before any other line is written

 private:
  std::chrono::steady_clock::time_point begun_ = std::chrono::steady_clock::now();
  std::size_t total_;
  bool shown_;
  bool on_screen_ = false;
};

}  // namespace firmus::cli
