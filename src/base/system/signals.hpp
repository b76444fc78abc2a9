// Signals that ask the program to end.
#pragma once
#include <memory>
#include <optional>

namespace firmus::system {

enum class Signals { take_over, leave_alone };

/// What a thread waits for while others work: that something is finished, or, where signals are taken over, SIGINT or
/// SIGTERM, which then do not end the program while the object lives. A signal that was ignored stays ignored (as in a
/// job behind &). Only one object at a time may take signals over.
class Interrupts {
 public:
  explicit Interrupts(Signals signals);
  ~Interrupts();
  Interrupts(const Interrupts&) = delete;
  Interrupts& operator=(const Interrupts&) = delete;

  void wake();                        ///< from any thread
  void wait();                        ///< returns once for each wake and each signal
  std::optional<int> signal() const;  ///< the signal that came, if one did

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// Ends the program at once with status 128 + `signal`: no destructor runs, no thread is waited for, no stream is
/// flushed.
[[noreturn]] void end_by_signal(int signal);

/// A write to a pipe that nobody reads ends the program without a message, as it does other filters, also where the
/// parent process ignored SIGPIPE.
void end_on_broken_pipe();

}  // namespace firmus::system
