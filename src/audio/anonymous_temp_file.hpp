// A temporary file without a name, which the system deletes when it is closed.
#pragma once
#include <cstdint>
#include <memory>
#include <span>

namespace firmus::audio {

/// Opens one in the folder for temporary files (TMPDIR, else /tmp); returns its descriptor, or -1 when it cannot be
/// created.
int open_anonymous_temp_file();

/// A temporary file of samples.
class AnonymousTempFile {
 public:
  /// nullptr when it cannot be created.
  static std::shared_ptr<AnonymousTempFile> make();
  ~AnonymousTempFile();
  AnonymousTempFile(const AnonymousTempFile&) = delete;
  AnonymousTempFile& operator=(const AnonymousTempFile&) = delete;
  /// False when not all values could be written.
  bool write(std::int64_t place, std::span<const float> values);
  /// May be called by several threads. Throws TakeError when the disk fails.
  void read(std::int64_t place, std::span<float> out) const;

 private:
  explicit AnonymousTempFile(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

}  // namespace firmus::audio
