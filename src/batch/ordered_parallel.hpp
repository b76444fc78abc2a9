// Many pieces of work in parallel; results are handed on in order, with few of them in memory at a time.
#pragma once
#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <cstddef>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

#include "base/system/signals.hpp"
#include "firmus/batch.hpp"

namespace firmus::batch {

/// `work(i)` runs on `jobs` threads for i = 0 to count - 1 and must not throw; `emit(i, result)` runs on the calling
/// thread, in order of i, and may throw. At most 2 `jobs` results wait. Where signals are taken over, SIGINT or SIGTERM
/// stops the work: what is finished is emitted, also behind a gap, and the signal is returned. The destructor waits for
/// work that was begun and drops its results.
template <class T>
class OrderedParallel {
 public:
  using Work = std::function<T(std::size_t)>;
  using Emit = std::function<void(std::size_t, T)>;

  OrderedParallel(std::size_t count, int jobs, Work work, system::Signals signals = system::Signals::leave_alone)
      : interrupts_(signals),
        count_(count),
        window_(2 * static_cast<std::size_t>(std::max(1, jobs))),
        work_(std::move(work)) {
    const std::size_t threads = std::min(count, static_cast<std::size_t>(std::max(1, jobs)));
    try {
      for (std::size_t i = 0; i < threads; ++i) threads_.emplace_back([this] { run(); });
    } catch (const std::system_error&) {  // no more threads available: the existing ones do the work
      if (threads_.empty()) throw;
    }
  }
  ~OrderedParallel() {
    stop();
    for (std::thread& thread : threads_) thread.join();
  }
  OrderedParallel(const OrderedParallel&) = delete;
  OrderedParallel& operator=(const OrderedParallel&) = delete;

  std::optional<int> emit_all(const Emit& emit) {
    while (emitted_ < count_) {
      interrupts_.wait();
      if (const auto signal = interrupts_.signal()) {
        stop();
        for (auto& [i, result] : take_all()) emit(i, std::move(result));
        return signal;
      }
      while (!interrupts_.signal()) {
        auto next = take_next();
        if (!next) break;
        emit(next->first, std::move(next->second));
      }
    }
    return std::nullopt;
  }

 private:
  void run() {
    while (const auto i = begin_next()) {
      T result = work_(*i);
      {
        const std::lock_guard lock(mutex_);
        finished_.emplace(*i, std::move(result));
      }
      interrupts_.wake();
    }
  }
  std::optional<std::size_t> begin_next() {
    std::unique_lock lock(mutex_);
    room_.wait(lock, [this] { return stopped_ || begun_ == count_ || begun_ < emitted_ + window_; });
    if (stopped_ || begun_ == count_) return std::nullopt;
    return begun_++;
  }
  std::optional<std::pair<std::size_t, T>> take_next() {
    const std::lock_guard lock(mutex_);
    const auto at = finished_.find(emitted_);
    if (at == finished_.end()) return std::nullopt;
    std::pair<std::size_t, T> next(at->first, std::move(at->second));
    finished_.erase(at);
    ++emitted_;
    room_.notify_all();
    return next;
  }
  std::map<std::size_t, T> take_all() {
    const std::lock_guard lock(mutex_);
    return std::exchange(finished_, {});
  }
  void stop() {
    const std::lock_guard lock(mutex_);
    stopped_ = true;
    room_.notify_all();
  }

  system::Interrupts interrupts_;
  const std::size_t count_, window_;
  const Work work_;
  std::mutex mutex_;
  std::condition_variable room_;
  std::map<std::size_t, T> finished_;
  std::size_t begun_ = 0, emitted_ = 0;
  bool stopped_ = false;
  std::vector<std::thread> threads_;
};

/// Signals are taken over where the caller wants to hear of them.
inline system::Signals signals_for(const BatchEvents& events) {
  return events.on_interrupt ? system::Signals::take_over : system::Signals::leave_alone;
}

}  // namespace firmus::batch
