// Work that mostly waits, as writing to a disk does, beside the threads that compute.
#pragma once
#include <future>
#include <utility>

namespace firmus::cli {

/// Begins `work` on a thread of its own; where no thread is to be had, `get` of the future does it. What it throws
/// comes out of `get`. The future waits for its work when it is destroyed.
template <class Work>
std::future<void> aside(Work work) {
  return std::async(std::launch::async | std::launch::deferred, std::move(work));
}

}  // namespace firmus::cli
