#include "bytes.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <system_error>

#include "firmus/error.hpp"

namespace firmus::audio {
namespace {

class Descriptor {
 public:
  explicit Descriptor(int fd) : fd_(fd) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }

 private:
  int fd_;
};

class FileBytes : public Bytes {
 public:
  FileBytes(std::unique_ptr<Descriptor> file, std::int64_t size) : file_(std::move(file)), size_(size) {}
  std::int64_t size() const override { return size_; }
  std::size_t read_at(std::int64_t offset, std::span<unsigned char> out) const override {
    std::size_t done = 0;
    while (done < out.size()) {
      const ssize_t count =
          ::pread(file_->get(), out.data() + done, out.size() - done, offset + static_cast<off_t>(done));
      if (count < 0 && errno == EINTR) continue;
      if (count <= 0) break;  // after a disk error the recording ends here and is reported as truncated
      done += static_cast<std::size_t>(count);
    }
    return done;
  }

 private:
  std::unique_ptr<Descriptor> file_;
  std::int64_t size_;
};

class BytesInMemory : public Bytes {
 public:
  explicit BytesInMemory(std::string content) : content_(std::move(content)) {}
  std::int64_t size() const override { return static_cast<std::int64_t>(content_.size()); }
  std::size_t read_at(std::int64_t offset, std::span<unsigned char> out) const override {
    if (offset < 0 || offset >= size()) return 0;
    const auto count = std::min(out.size(), content_.size() - static_cast<std::size_t>(offset));
    std::memcpy(out.data(), content_.data() + offset, count);
    return count;
  }

 private:
  std::string content_;
};

[[noreturn]] void throw_open_failure(int error) {
  if (error == ENOENT || error == ENOTDIR)
    throw TakeError("missing", "there is no such file", "check the name and the folder");
  const std::string reason = std::generic_category().message(error);
  throw TakeError("unreadable", fmt::format("the file cannot be opened: {}", reason),
                  error == EACCES ? "check the permissions of the file and of the folders above it" : "check the name");
}

const char* kind_of_file(mode_t mode) {
  if (S_ISDIR(mode)) return "a folder";
  if (S_ISFIFO(mode)) return "a named pipe";
  if (S_ISSOCK(mode)) return "a socket";
  return "a device";
}

void require_regular_file(const struct stat& status) {
  if (S_ISREG(status.st_mode)) return;
  throw TakeError("not_a_file", fmt::format("this is {}, not an audio file", kind_of_file(status.st_mode)),
                  S_ISDIR(status.st_mode) ? "name the audio files in it" : "to read a stream, name - and pipe it in");
}

}  // namespace

std::unique_ptr<Bytes> open_file_bytes(const std::string& path) {
  struct stat status {};
  if (::stat(path.c_str(), &status) != 0) throw_open_failure(errno);
  require_regular_file(status);
  // If the file has been replaced by a FIFO since, opening it without O_NONBLOCK would wait for a writer.
  auto file = std::make_unique<Descriptor>(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  if (file->get() < 0 || ::fstat(file->get(), &status) != 0) throw_open_failure(errno);
  require_regular_file(status);
  if (status.st_size == 0)
    throw TakeError("empty", "the file is empty (0 bytes)", "copy or hand in the recording again: it did not arrive");
  return std::make_unique<FileBytes>(std::move(file), status.st_size);
}

std::unique_ptr<Bytes> bytes_in_memory(std::string content) {
  return std::make_unique<BytesInMemory>(std::move(content));
}

std::string read_text(const Bytes& bytes, std::int64_t offset, std::size_t count) {
  std::string text(count, '\0');
  text.resize(bytes.read_at(offset, {reinterpret_cast<unsigned char*>(text.data()), count}));
  return text;
}

std::optional<std::uint64_t> read_number(const Bytes& bytes, std::int64_t offset, std::size_t width, ByteOrder order) {
  std::array<unsigned char, 8> raw{};
  if (bytes.read_at(offset, std::span(raw).first(width)) != width) return std::nullopt;
  std::uint64_t value = 0;
  for (std::size_t i = 0; i < width; ++i) value = value << 8 | raw[order == ByteOrder::big ? i : width - 1 - i];
  return value;
}

std::optional<std::string> read_stream(int fd, std::int64_t limit_bytes) {
  constexpr std::size_t block_bytes = 1 << 18;
  std::string content;
  for (;;) {
    const std::size_t held = content.size();
    if (held > static_cast<std::size_t>(limit_bytes)) return std::nullopt;
    content.resize(held + block_bytes);
    const ssize_t count = ::read(fd, content.data() + held, block_bytes);
    content.resize(held + static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) throw std::system_error(errno, std::generic_category());
    if (count == 0) return content;
  }
}

}  // namespace firmus::audio
