// Collects the samples of a recording: in memory up to ten minutes, beyond that in an anonymous temporary file.
#pragma once
#include <cstdint>
#include <memory>
#include <vector>

#include "anonymous_temp_file.hpp"
#include "firmus/audio.hpp"

namespace firmus::audio {

class SpillBuffer {
 public:
  /// Ten minutes (37 MiB) are kept in memory, so that most recordings need no file.
  static constexpr std::int64_t in_memory_at_most = std::int64_t{10} * 60 * Samples::rate_hz;
  explicit SpillBuffer(std::int64_t in_memory = in_memory_at_most) : in_memory_(in_memory) {}

  /// Reserves memory for `count` samples, but for no more than are kept in memory.
  void expect(std::int64_t count);
  /// The caller appends samples here and then calls `spill`, which moves them to the file when there are too many.
  std::vector<float>& tail() { return tail_; }
  void spill();
  Samples finish();

 private:
  std::int64_t in_memory_;
  std::shared_ptr<AnonymousTempFile> file_;
  std::int64_t in_file_ = 0;
  bool disk_is_full_ = false;  ///< then the rest stays in memory
  std::vector<float> tail_;
};

}  // namespace firmus::audio
