// Samples of a take as they come in: in memory while it is short, in a file without a name when it is long.
#pragma once
#include <cstdint>
#include <memory>
#include <vector>

#include "anonymous_temp_file.hpp"
#include "firmus/audio.hpp"

namespace firmus::audio {

class SpillBuffer {
 public:
  /// Ten minutes are kept in memory (37 MiB), so that most takes touch no disk.
  static constexpr std::int64_t in_memory_at_most = std::int64_t{10} * 60 * Samples::rate_hz;
  explicit SpillBuffer(std::int64_t in_memory = in_memory_at_most) : in_memory_(in_memory) {}

  /// Makes room for so many, but not for more than are kept in memory.
  void expect(std::int64_t count);
  /// Where the next samples may be appended; `settle` then moves what is too much.
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
