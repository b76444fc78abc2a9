#include "interrupts.hpp"

#include <semaphore.h>
#include <signal.h>
#include <unistd.h>

#include <cerrno>

namespace firmus::cli {
namespace {

// What a signal handler may touch: a flag, and a POSIX semaphore (sem_post is async-signal-safe, POSIX.1-2017 2.4.3).
volatile sig_atomic_t caught = 0;
sem_t woken;
struct sigaction old_int, old_term;

/// A signal that is ignored (as in a job behind &) stays so.
void take_over(int signal, struct sigaction& old, const struct sigaction& action) {
  ::sigaction(signal, nullptr, &old);
  if (old.sa_handler != SIG_IGN) ::sigaction(signal, &action, nullptr);
}

void on_signal(int signal) {
  caught = signal;
  ::sem_post(&woken);
}

}  // namespace

Interrupts::Interrupts() {
  caught = 0;
  ::sem_init(&woken, 0, 0);
  struct sigaction action {};
  action.sa_handler = &on_signal;
  action.sa_flags = SA_RESTART;
  take_over(SIGINT, old_int, action);
  take_over(SIGTERM, old_term, action);
}

Interrupts::~Interrupts() {
  ::sigaction(SIGINT, &old_int, nullptr);
  ::sigaction(SIGTERM, &old_term, nullptr);
  ::sem_destroy(&woken);
}

void Interrupts::wake() {
  ::sem_post(&woken);
}

void Interrupts::wait() {
  while (::sem_wait(&woken) != 0 && errno == EINTR) {
  }
}

std::optional<int> Interrupts::signal() const {
  return caught ? std::optional<int>(caught) : std::nullopt;
}

void end_interrupted(int signal) {
  ::_exit(128 + signal);
}

}  // namespace firmus::cli
