#include "bytes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <system_error>

#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus::audio {
namespace {

class FileBytes : public Bytes {
 public:
  FileBytes(system::File file, std::int64_t size) : file_(std::move(file)), size_(size) {}
  std::int64_t size() const override { return size_; }
  std::size_t read_at(std::int64_t offset, std::span<unsigned char> out) const override {
    std::error_code ignored;  // after a disk error the recording ends here and is reported as truncated
    return file_.read_at(offset, std::as_writable_bytes(out), ignored);
  }

 private:
  system::File file_;
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

[[noreturn]] void throw_open_failure(const std::error_code& error) {
  if (error == std::errc::no_such_file_or_directory || error == std::errc::not_a_directory)
    throw TakeError("missing", "there is no such file", "check the name and the folder");
  const bool is_forbidden = error == std::errc::permission_denied;
  throw TakeError("unreadable", fmt::format("the file cannot be opened: {}", error.message()),
                  is_forbidden ? "check the permissions of the file and of the folders above it" : "check the name");
}

const char* kind_of_file(system::FileType type) {
  if (type == system::FileType::folder) return "a folder";
  if (type == system::FileType::pipe) return "a named pipe";
  if (type == system::FileType::socket) return "a socket";
  return "a device";
}

void require_regular_file(system::FileType type) {
  if (type == system::FileType::regular) return;
  const bool is_folder = type == system::FileType::folder;
  throw TakeError("not_a_file", fmt::format("this is {}, not an audio file", kind_of_file(type)),
                  is_folder ? "name the audio files in it" : "to read a stream, name - and pipe it in");
}

}  // namespace

// Its type is checked before it is opened, since opening a device may have effects; and after, since another file may
// have taken its place.
std::unique_ptr<Bytes> open_file_bytes(const std::string& path) {
  std::error_code error;
  const system::FileStatus named = system::status_of(path, error);
  if (error) throw_open_failure(error);
  require_regular_file(named.type);
  system::File file = system::File::open(path, system::OpenFor::reading, error);
  if (error) throw_open_failure(error);
  const system::FileStatus opened = file.status(error);
  if (error) throw_open_failure(error);
  require_regular_file(opened.type);
  if (opened.size_bytes == 0)
    throw TakeError("empty", "the file is empty (0 bytes)", "copy or hand in the recording again: it did not arrive");
  return std::make_unique<FileBytes>(std::move(file), opened.size_bytes);
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

}  // namespace firmus::audio
