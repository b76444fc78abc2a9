// Samples of a take as they come in: in memory while it is short, in a file without a name when it is long.
#pragma once
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus {

/// A file that is gone when it is closed: it never had a name, or lost it at once.
class NamelessFile {
 public:
  /// In the folder for temporary files (TMPDIR, else /tmp); none when there is no room for one.
  static std::shared_ptr<NamelessFile> make();
  ~NamelessFile();
  NamelessFile(const NamelessFile&) = delete;
  NamelessFile& operator=(const NamelessFile&) = delete;
  /// False when not all of it could be written.
  bool write(std::int64_t place, std::span<const float> values);
  /// May be called by several threads. Throws TakeError when the disk fails.
  void read(std::int64_t place, std::span<float> out) const;

 private:
  explicit NamelessFile(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

class SampleSpool {
 public:
  /// Ten minutes are kept in memory (37 MiB), so that most takes touch no disk.
  static constexpr std::int64_t in_memory_at_most = std::int64_t{10} * 60 * Samples::rate_hz;
  explicit SampleSpool(std::int64_t in_memory = in_memory_at_most) : in_memory_(in_memory) {}

  /// Makes room for so many, but not for more than are kept in memory.
  void expect(std::int64_t count);
  /// Where the next samples may be appended; `settle` then moves what is too much.
  std::vector<float>& tail() { return tail_; }
  void settle();
  Samples finish();

 private:
  std::int64_t in_memory_;
  std::shared_ptr<NamelessFile> file_;
  std::int64_t in_file_ = 0;
  bool disk_is_full_ = false;  ///< then the rest stays in memory
  std::vector<float> tail_;
};

}  // namespace firmus
