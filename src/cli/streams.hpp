// Standard output, with every write checked, and standard error, for diagnostics.
#pragma once
#include <chrono>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"
#include "firmus/report.hpp"

namespace firmus::cli {

/// To be called before any file is opened: connects standard streams that were closed to /dev/null, and lets SIGPIPE
/// end the program, as it does other filters.
void prepare_streams();

/// Throws WriteError when standard output was closed at the start. To be called before the work.
void require_output();
/// Throws WriteError when it cannot be written.
void put(std::string_view text);
/// Throws WriteError.
void flush_output();

/// "To read and print: PATH" on standard error; on a terminal only, so that a script sees what went wrong and no more.
void name_page_to_open(const std::string& path);

/// Colour on terminals, unless NO_COLOR is set and not empty (no-color.org) or TERM is "dumb" or not set.
Colour colour_wanted();

/// One line, "firmus: TEXT", on standard error.
void diagnose(std::string_view text);
/// One line for each problem.
void diagnose(const std::vector<Problem>& problems);
/// "firmus: FILE:LINE:COLUMN: warning: ..."
void warn(const Problem& problem);

/// Takes finished, takes a second and the time left.
std::string progress_line(std::size_t finished, std::size_t total, double seconds);
/// Shows that line on standard error, rewritten in place; only on a terminal and for more than one take.
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
