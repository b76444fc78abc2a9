#include "base/system/signals.hpp"

#include <semaphore.h>
#include <signal.h>
#include <unistd.h>

#include <cerrno>

namespace firmus::system {
namespace {

// What a signal handler may touch: a flag, and a POSIX semaphore (sem_post is async-signal-safe, POSIX.1-2017 2.4.3).
volatile sig_atomic_t caught_signal = 0;
sem_t wakes;
struct sigaction old_int, old_term;

void install(int signal, struct sigaction& old, const struct sigaction& action) {
  ::sigaction(signal, nullptr, &old);
  if (old.sa_handler != SIG_IGN) ::sigaction(signal, &action, nullptr);
}

void on_signal(int signal) {
  caught_signal = signal;
  ::sem_post(&wakes);
}

}  // namespace

Interrupts::Interrupts() {
  caught_signal = 0;
  ::sem_init(&wakes, 0, 0);
  struct sigaction action {};
  action.sa_handler = &on_signal;
  action.sa_flags = SA_RESTART;
  install(SIGINT, old_int, action);
  install(SIGTERM, old_term, action);
}

Interrupts::~Interrupts() {
  ::sigaction(SIGINT, &old_int, nullptr);
  ::sigaction(SIGTERM, &old_term, nullptr);
  ::sem_destroy(&wakes);
}

void Interrupts::wake() {
  ::sem_post(&wakes);
}

void Interrupts::wait() {
  while (::sem_wait(&wakes) != 0 && errno == EINTR) {
  }
}

std::optional<int> Interrupts::signal() const {
  return caught_signal ? std::optional<int>(caught_signal) : std::nullopt;
}

void end_by_signal(int signal) {
  ::_exit(128 + signal);
}

void end_on_broken_pipe() {
  ::signal(SIGPIPE, SIG_DFL);
}

}  // namespace firmus::system
