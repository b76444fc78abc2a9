#include "spill_buffer.hpp"

#include <algorithm>

namespace firmus::audio {

void SpillBuffer::expect(std::int64_t count) {
  tail_.reserve(static_cast<std::size_t>(std::min(count, in_memory_)));
}

void SpillBuffer::spill() {
  if (static_cast<std::int64_t>(tail_.size()) <= in_memory_ || disk_is_full_) return;
  if (!file_) file_ = AnonymousTempFile::make();
  disk_is_full_ = !file_ || !file_->write(in_file_, tail_);
  if (disk_is_full_) return;
  in_file_ += static_cast<std::int64_t>(tail_.size());
  // From now on all samples go to the file: later stages need the memory more.
  in_memory_ = 0;
  tail_.clear();
  tail_.shrink_to_fit();
}

Samples SpillBuffer::finish() {
  if (!file_) return Samples(std::move(tail_));
  return Samples(std::move(file_), in_file_, std::move(tail_));
}

}  // namespace firmus::audio
