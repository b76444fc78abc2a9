#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>

#include "firmus/melody.hpp"

namespace firmus {
namespace {

constexpr off_t largest_bytes = 1 << 20;  // 1 MiB of text or CSV

[[noreturn]] void refuse(const std::string& path, std::string what, std::string remedy) {
  throw InputError(Problem{{path, 0, 0}, std::move(what), std::move(remedy)});
}

[[noreturn]] void refuse_unreadable(const std::string& path, int error) {
  refuse(path, fmt::format("cannot be read: {}", std::generic_category().message(error)), "name a melody file");
}

std::string_view kind_of(mode_t mode) {
  if (S_ISDIR(mode)) return "a directory";
  if (S_ISFIFO(mode)) return "a pipe";
  if (S_ISSOCK(mode)) return "a socket";
  return "a device";
}

void check_is_melody_sized_file(const std::string& path, const struct stat& status) {
  if (!S_ISREG(status.st_mode)) refuse(path, fmt::format("is {}, no melody", kind_of(status.st_mode)), "name a file");
  if (status.st_size > largest_bytes) refuse(path, "is larger than 1 MiB, the most a melody may have", "split it");
}

class OpenFile {
 public:
  explicit OpenFile(int fd) : fd_(fd) {}
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }

 private:
  int fd_;
};

/// At most one byte more than a melody may have: read_melody refuses that in turn.
std::string read_bytes(int fd, const std::string& path) {
  std::string text;
  std::array<char, 1 << 16> block{};
  while (static_cast<off_t>(text.size()) <= largest_bytes) {
    const ssize_t count = ::read(fd, block.data(), block.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) refuse_unreadable(path, errno);
    if (count == 0) break;
    text.append(block.data(), static_cast<std::size_t>(count));
  }
  return text;
}

}  // namespace

// Looked at before it is opened, since opening a device may do something; and after, since it may have been exchanged.
Melody read_melody_file(const std::string& path) {
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) refuse_unreadable(path, errno);
  check_is_melody_sized_file(path, status);
  const OpenFile file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  if (file.get() < 0 || ::fstat(file.get(), &status) != 0) refuse_unreadable(path, errno);
  check_is_melody_sized_file(path, status);
  return read_melody(read_bytes(file.get(), path), path);
}

}  // namespace firmus
