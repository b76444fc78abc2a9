// Samples on disk, in a temporary file without a name, which the system deletes when it is closed.
#pragma once
#include <cstdint>
#include <memory>
#include <span>
#include <utility>

#include "base/system/files.hpp"

namespace firmus::audio {

class AnonymousTempFile {
 public:
  /// nullptr when it cannot be created.
  static std::shared_ptr<AnonymousTempFile> make();
  /// From sample `place` on. False when not all values could be written.
  bool write(std::int64_t place, std::span<const float> values);
  /// May be called by several threads. Throws TakeError when the disk fails.
  void read(std::int64_t place, std::span<float> out) const;

 private:
  explicit AnonymousTempFile(system::File file) : file_(std::move(file)) {}
  system::File file_;
};

}  // namespace firmus::audio
