// Signals that ask the program to end.
#pragma once
#include <optional>

namespace firmus::system {

/// While it lives, SIGINT and SIGTERM do not end the program: they wake the thread that waits here, as finished work
/// does. A signal that was ignored stays ignored (as in a job behind &). One object at a time.
class Interrupts {
 public:
  Interrupts();
  ~Interrupts();
  Interrupts(const Interrupts&) = delete;
  Interrupts& operator=(const Interrupts&) = delete;

  void wake();                        ///< from any thread
  void wait();                        ///< returns once for each wake and each signal
  std::optional<int> signal() const;  ///< the signal that came, if one did
};

/// Ends the program at once with status 128 + `signal`: no destructor runs, no thread is waited for, no stream is
/// flushed.
[[noreturn]] void end_by_signal(int signal);

/// A write to a pipe that nobody reads ends the program without a message, as it does other filters, also where the
/// parent process ignored SIGPIPE.
void end_on_broken_pipe();

}  // namespace firmus::system
