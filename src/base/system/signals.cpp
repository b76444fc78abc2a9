#include "base/system/signals.hpp"

#include <semaphore.h>
#include <signal.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>

namespace firmus::system {
namespace {

// What a signal handler may touch: lock-free atomics, a flag, and a POSIX semaphore (sem_post is async-signal-safe,
// POSIX.1-2017 2.4.3).
std::atomic<sem_t*> woken_by_signals = nullptr;
static_assert(std::atomic<sem_t*>::is_always_lock_free);
volatile sig_atomic_t caught_signal = 0;

void on_signal(int signal) {
  caught_signal = signal;
  if (sem_t* const wakes = woken_by_signals) ::sem_post(wakes);
}

void install(int signal, struct sigaction& old, const struct sigaction& action) {
  ::sigaction(signal, nullptr, &old);
  if (old.sa_handler != SIG_IGN) ::sigaction(signal, &action, nullptr);
}

}  // namespace

struct Interrupts::State {
  Signals signals = Signals::leave_alone;
  sem_t wakes{};
  struct sigaction old_int {
  }, old_term{};
};

Interrupts::Interrupts(Signals signals) : state_(std::make_unique<State>()) {
  state_->signals = signals;
  ::sem_init(&state_->wakes, 0, 0);
  if (signals == Signals::leave_alone) return;
  caught_signal = 0;
  woken_by_signals = &state_->wakes;
  struct sigaction action {};
  action.sa_handler = &on_signal;
  action.sa_flags = SA_RESTART;
  install(SIGINT, state_->old_int, action);
  install(SIGTERM, state_->old_term, action);
}

Interrupts::~Interrupts() {
  if (state_->signals == Signals::take_over) {
    ::sigaction(SIGINT, &state_->old_int, nullptr);
    ::sigaction(SIGTERM, &state_->old_term, nullptr);
    woken_by_signals = nullptr;
  }
  ::sem_destroy(&state_->wakes);
}

void Interrupts::wake() {
  ::sem_post(&state_->wakes);
}

void Interrupts::wait() {
  while (::sem_wait(&state_->wakes) != 0 && errno == EINTR) {
  }
}

std::optional<int> Interrupts::signal() const {
  const bool taken_over = state_->signals == Signals::take_over;
  return taken_over && caught_signal ? std::optional<int>(caught_signal) : std::nullopt;
}

void end_by_signal(int signal) {
  ::_exit(128 + signal);
}

void end_on_broken_pipe() {
  ::signal(SIGPIPE, SIG_DFL);
}

}  // namespace firmus::system
