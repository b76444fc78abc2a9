#include "anonymous_temp_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <system_error>

#include "firmus/error.hpp"

namespace firmus::audio {
namespace {

int open_in_folder(const std::string& folder) {
#ifdef O_TMPFILE
  const int descriptor = ::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
  if (descriptor >= 0) return descriptor;
#endif
  std::string name = folder + "/firmus-XXXXXX";  // for file systems without O_TMPFILE
  const int named = ::mkostemp(name.data(), O_CLOEXEC);
  if (named >= 0) ::unlink(name.c_str());
  return named;
}

}  // namespace

int open_anonymous_temp_file() {
  std::error_code error;
  const std::filesystem::path folder = std::filesystem::temp_directory_path(error);
  return error ? -1 : open_in_folder(folder.string());
}

std::shared_ptr<AnonymousTempFile> AnonymousTempFile::make() {
  const int descriptor = open_anonymous_temp_file();
  if (descriptor < 0) return nullptr;
  return std::shared_ptr<AnonymousTempFile>(new AnonymousTempFile(descriptor));
}

AnonymousTempFile::~AnonymousTempFile() {
  ::close(descriptor_);
}

bool AnonymousTempFile::write(std::int64_t place, std::span<const float> values) {
  const auto bytes = std::as_bytes(values);
  auto offset = static_cast<off_t>(place * static_cast<std::int64_t>(sizeof(float)));
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::pwrite(descriptor_, bytes.data() + done, bytes.size() - done, offset);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return false;
    done += static_cast<std::size_t>(count);
    offset += count;
  }
  return true;
}

void AnonymousTempFile::read(std::int64_t place, std::span<float> out) const {
  const auto bytes = std::as_writable_bytes(out);
  auto offset = static_cast<off_t>(place * static_cast<std::int64_t>(sizeof(float)));
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::pread(descriptor_, bytes.data() + done, bytes.size() - done, offset);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0)
      throw TakeError("failed", "the temporary file with its samples could not be read again",
                      "check the disk that holds temporary files, or set TMPDIR to another");
    done += static_cast<std::size_t>(count);
    offset += count;
  }
}

}  // namespace firmus::audio
