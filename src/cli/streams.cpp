#include "streams.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <system_error>

#include "base/base.hpp"
#include "base/system/signals.hpp"
#include "base/system/terminal.hpp"

namespace firmus::cli {
namespace {

bool output_was_closed = false;

[[noreturn]] void fail_output(int error) {
  throw WriteError("standard output: cannot be written: " + std::generic_category().message(error));
}

}  // namespace

void prepare_streams() {
  output_was_closed = system::fill_closed_streams();
  system::end_on_broken_pipe();
}

void require_output() {
  if (output_was_closed) fail_output(EBADF);
}

void put(std::string_view text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) fail_output(errno);
}

void flush_output() {
  if (std::fflush(stdout) != 0) fail_output(errno);
}

void name_page_to_open(const std::string& path) {
  if (system::diagnostics_are_terminal()) fmt::print(stderr, "To read and print: {}\n", display_name(path));
}

Colour colour_wanted() {
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  const bool unwanted = (no_color && *no_color) || !term || std::string_view(term) == "dumb";
  return system::output_is_terminal() && !unwanted ? Colour::ansi : Colour::never;
}

void diagnose(std::string_view text) {
  const std::string line = fmt::format("firmus: {}\n", text);
  std::fwrite(line.data(), 1, line.size(), stderr);
}

void diagnose(const std::vector<Problem>& problems) {
  for (const Problem& problem : problems) diagnose(to_line(problem));
}

void warn(const Problem& problem) {
  Problem warning = problem;
  warning.what.insert(0, "warning: ");
  diagnose(to_line(warning));
}

Progress::Progress(std::size_t total, bool wanted)
    : total_(total), shown_(wanted && total > 1 && system::diagnostics_are_terminal()) {}

std::string progress_line(std::size_t finished, std::size_t total, double seconds) {
  constexpr int cells = 20;
  const auto full = static_cast<std::size_t>(cells * finished / total);
  std::string line =
      fmt::format("[{}{}] {} of {} takes", std::string(full, '#'), std::string(cells - full, '.'), finished, total);
  if (finished == 0 || seconds <= 0) return line;
  const double rate = static_cast<double>(finished) / seconds;
  const auto left = static_cast<long long>(std::ceil(static_cast<double>(total - finished) / rate));
  return line + fmt::format(", {:.1f} a second, {}:{:02} left", rate, left / 60, left % 60);
}

void Progress::show(std::size_t finished) {
  if (!shown_) return;
  const std::chrono::duration<double> elapsed = std::chrono::steady_clock::now() - begun_;
  fmt::print(stderr, "\r{:78}", progress_line(finished, total_, elapsed.count()));
  std::fflush(stderr);
  on_screen_ = true;
}

void Progress::clear() {
  if (on_screen_) fmt::print(stderr, "\r{:78}\r", "");
  on_screen_ = false;
}

}  // namespace firmus::cli
