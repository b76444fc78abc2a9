#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <system_error>

#include "base/base.hpp"
#include "firmus/error.hpp"

namespace firmus {
namespace {

[[noreturn]] void fail(const std::string& path, int error) {
  throw WriteError(
      fmt::format("{}: cannot be written: {}", display_name(path), std::generic_category().message(error)));
}

int write_all(int fd, std::string_view content) {
  while (!content.empty()) {
    const ssize_t written = ::write(fd, content.data(), content.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    content.remove_prefix(static_cast<std::size_t>(written));
  }
  return ::fsync(fd) == 0 || errno == EINVAL ? 0 : errno;  // EINVAL: a file system that cannot sync
}

}  // namespace

void write_whole_file(const std::string& path, std::string_view content) {
  const std::string temporary = fmt::format("{}.{}.part", path, ::getpid());
  const int fd = ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (fd < 0) fail(path, errno);
  int error = write_all(fd, content);
  if (::close(fd) != 0 && error == 0) error = errno;
  if (error == 0 && std::rename(temporary.c_str(), path.c_str()) != 0) error = errno;
  if (error != 0) {
    ::unlink(temporary.c_str());
    fail(path, error);
  }
}

}  // namespace firmus
