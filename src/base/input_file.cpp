#include "base/input_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>

#include "firmus/error.hpp"

namespace firmus {
namespace {

[[noreturn]] void reject(const std::string& path, std::string what, std::string remedy) {
  throw InputError(Problem{{path, 0, 0}, std::move(what), std::move(remedy)});
}

std::string with_article(std::string_view name) {
  const bool vowel = !name.empty() && std::string_view("aeio").find(name.front()) != std::string_view::npos;
  return fmt::format("{} {}", vowel ? "an" : "a", name);
}

[[noreturn]] void refuse_unreadable(const std::string& path, const InputKind& kind, int error) {
  reject(path, fmt::format("cannot be read: {}", std::generic_category().message(error)),
         fmt::format("name {} file", with_article(kind.name)));
}

std::string_view kind_of(mode_t mode) {
  if (S_ISDIR(mode)) return "a directory";
  if (S_ISFIFO(mode)) return "a pipe";
  if (S_ISSOCK(mode)) return "a socket";
  return "a device";
}

void check_is_such_a_file(const std::string& path, const InputKind& kind, const struct stat& status) {
  if (!S_ISREG(status.st_mode))
    reject(path, fmt::format("is {}, no {}", kind_of(status.st_mode), kind.name), "name a file");
  if (static_cast<std::size_t>(status.st_size) > kind.largest_bytes)
    reject(
        path,
        fmt::format("is larger than {} MiB, the most {} may have", kind.largest_bytes >> 20, with_article(kind.name)),
        "split it");
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

/// At most one block more than the file may have: the parsers refuse that in turn.
std::string read_bytes(int fd, const std::string& path, const InputKind& kind) {
  std::string text;
  std::array<char, 1 << 16> block{};
  while (text.size() <= kind.largest_bytes) {
    const ssize_t count = ::read(fd, block.data(), block.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) refuse_unreadable(path, kind, errno);
    if (count == 0) break;
    text.append(block.data(), static_cast<std::size_t>(count));
  }
  return text;
}

}  // namespace

// Looked at before it is opened, since opening a device may do something; and after, since it may have been exchanged.
std::string read_input_file(const std::string& path, const InputKind& kind) {
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) refuse_unreadable(path, kind, errno);
  check_is_such_a_file(path, kind, status);
  const OpenFile file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  if (file.get() < 0 || ::fstat(file.get(), &status) != 0) refuse_unreadable(path, kind, errno);
  check_is_such_a_file(path, kind, status);
  return read_bytes(file.get(), path, kind);
}

}  // namespace firmus
