// A file that is gone when it is closed: it never had a name, or lost it at once.
#pragma once
#include <cstdint>
#include <memory>
#include <span>

namespace firmus::audio {

/// Its descriptor, in the folder for temporary files (TMPDIR, else /tmp); -1 when there is no room for one.
int open_anonymous_temp_file();

/// One of samples.
class AnonymousTempFile {
 public:
  /// None when there is no room for one.
  static std::shared_ptr<AnonymousTempFile> make();
  ~AnonymousTempFile();
  AnonymousTempFile(const AnonymousTempFile&) = delete;
  AnonymousTempFile& operator=(const AnonymousTempFile&) = delete;
  /// False when not all of it could be written.
  bool write(std::int64_t place, std::span<const float> values);
  /// May be called by several threads. Throws TakeError when the disk fails.
  void read(std::int64_t place, std::span<float> out) const;

 private:
  explicit AnonymousTempFile(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

}  // namespace firmus::audio
