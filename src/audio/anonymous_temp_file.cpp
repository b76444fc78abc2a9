#include "anonymous_temp_file.hpp"

#include <system_error>

#include "firmus/error.hpp"

namespace firmus::audio {

std::shared_ptr<AnonymousTempFile> AnonymousTempFile::make() {
  std::error_code error;
  system::File file = system::File::open_anonymous(error);
  if (error) return nullptr;
  return std::shared_ptr<AnonymousTempFile>(new AnonymousTempFile(std::move(file)));
}

bool AnonymousTempFile::write(std::int64_t place, std::span<const float> values) {
  return !file_.write_at(place * static_cast<std::int64_t>(sizeof(float)), std::as_bytes(values));
}

void AnonymousTempFile::read(std::int64_t place, std::span<float> out) const {
  std::error_code error;
  const auto bytes = std::as_writable_bytes(out);
  if (file_.read_at(place * static_cast<std::int64_t>(sizeof(float)), bytes, error) != bytes.size())
    throw TakeError("failed", "the temporary file with its samples could not be read again",
                    "check the disk that holds temporary files, or set TMPDIR to another");
}

}  // namespace firmus::audio
