#include "base/system/terminal.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <initializer_list>

namespace firmus::system {

bool output_is_terminal() {
  return ::isatty(STDOUT_FILENO) == 1;
}

bool diagnostics_are_terminal() {
  return ::isatty(STDERR_FILENO) == 1;
}

bool fill_closed_streams() {
  const bool output_was_closed = ::fcntl(STDOUT_FILENO, F_GETFD) == -1;
  for (const int fd : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
    if (::fcntl(fd, F_GETFD) == -1) (void)::open("/dev/null", fd == STDIN_FILENO ? O_RDONLY : O_WRONLY);
  return output_was_closed;
}

}  // namespace firmus::system
