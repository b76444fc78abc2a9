// What wakes the main thread while others measure: a take is finished, or SIGINT or SIGTERM came.
#pragma once
#include <optional>

namespace firmus::cli {

/// From construction on, SIGINT and SIGTERM no longer end the program at once. One at a time.
class Interrupts {
 public:
  Interrupts();
  ~Interrupts();
  Interrupts(const Interrupts&) = delete;
  Interrupts& operator=(const Interrupts&) = delete;

  void wake();                        ///< from any thread: something is finished
  void wait();                        ///< until woken or interrupted
  std::optional<int> signal() const;  ///< the signal that came, if one did
};

/// Ends the program here and now with 128 + `signal`; threads that still measure are not waited for.
[[noreturn]] void end_interrupted(int signal);

}  // namespace firmus::cli
