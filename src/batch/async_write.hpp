// Writing to a disk, which mostly waits, on another thread than those that compute.
#pragma once
#include <future>
#include <utility>

namespace firmus::batch {

/// Begins `work` on a thread of its own; where the system has no more threads, `get` of the future does it. Exceptions
/// come out of `get`. The destructor of the future waits for the work.
template <class Work>
std::future<void> async_write(Work work) {
  return std::async(std::launch::async | std::launch::deferred, std::move(work));
}

}  // namespace firmus::batch
