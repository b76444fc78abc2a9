#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

#include "base/base.hpp"

namespace firmus {
namespace {

/// The remaining indices, and the exception of the lowest index that failed.
class Share {
 public:
  Share(std::size_t count, const std::function<void(std::size_t)>& work) : count_(count), work_(work) {}

  void run() {
    for (std::size_t i = next_++; i < count_; i = next_++) {
      try {
        work_(i);
      } catch (...) {
        fail(i, std::current_exception());
      }
    }
  }
  void rethrow() const {
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  void fail(std::size_t i, std::exception_ptr failure) {
    const std::lock_guard lock(mutex_);
    if (failure_ && failed_at_ < i) return;
    failed_at_ = i;
    failure_ = std::move(failure);
  }

  const std::size_t count_;
  const std::function<void(std::size_t)>& work_;
  std::atomic<std::size_t> next_ = 0;
  std::mutex mutex_;
  std::size_t failed_at_ = 0;
  std::exception_ptr failure_;
};

}  // namespace

void in_parallel(std::size_t count, int threads, const std::function<void(std::size_t)>& work) {
  Share share(count, work);
  {
    std::vector<std::jthread> others;
    const std::size_t wanted = std::min(count, static_cast<std::size_t>(std::max(1, threads)));
    try {
      for (std::size_t i = 1; i < wanted; ++i) others.emplace_back([&] { share.run(); });
    } catch (const std::system_error&) {  // no more threads available: the existing ones do the work
    }
    share.run();
  }
  share.rethrow();
}

}  // namespace firmus
