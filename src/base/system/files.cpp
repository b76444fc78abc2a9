#include "base/system/files.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <filesystem>

#include "base/system/read_to_end.hpp"

namespace firmus::system {
namespace {

std::error_code code_of(int error) {
  return {error, std::generic_category()};
}

std::error_code last_error_if(bool failed) {
  return failed ? code_of(errno) : std::error_code();
}

FileType type_of(mode_t mode) {
  if (S_ISREG(mode)) return FileType::regular;
  if (S_ISDIR(mode)) return FileType::folder;
  if (S_ISFIFO(mode)) return FileType::pipe;
  if (S_ISSOCK(mode)) return FileType::socket;
  return FileType::device;
}

FileStatus as_file_status(const struct stat& status) {
  return {type_of(status.st_mode), status.st_size};
}

int flags_for(OpenFor purpose) {
  switch (purpose) {
    case OpenFor::reading:
      return O_RDONLY | O_NONBLOCK;  // without it, opening a FIFO waits for its writer
    case OpenFor::replacing:
      return O_RDWR | O_CREAT | O_TRUNC;
    case OpenFor::private_appending:
      return O_WRONLY | O_CREAT | O_APPEND;
  }
  return O_RDONLY;
}

int open_anonymous_in(const std::string& folder) {
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

FileStatus status_of(const std::string& path, std::error_code& error) {
  struct stat status {};
  error = last_error_if(::stat(path.c_str(), &status) != 0);
  return as_file_status(status);
}

bool name_exists(const std::string& path) {
  struct stat status {};
  return ::lstat(path.c_str(), &status) == 0;
}

File File::open(const std::string& path, OpenFor purpose, std::error_code& error) {
  const mode_t mode = purpose == OpenFor::private_appending ? 0600 : 0666;
  File file(::open(path.c_str(), flags_for(purpose) | O_CLOEXEC, mode));
  error = last_error_if(!file.is_open());
  return file;
}

File File::open_anonymous(std::error_code& error) {
  const std::filesystem::path folder = std::filesystem::temp_directory_path(error);
  if (error) return {};
  File file(open_anonymous_in(folder.string()));
  error = last_error_if(!file.is_open());
  return file;
}

FileStatus File::status(std::error_code& error) const {
  struct stat status {};
  error = last_error_if(::fstat(descriptor_, &status) != 0);
  return as_file_status(status);
}

std::size_t File::read(std::span<char> out, std::error_code& error) const {
  ssize_t count = 0;
  do {
    count = ::read(descriptor_, out.data(), out.size());
  } while (count < 0 && errno == EINTR);
  error = last_error_if(count < 0);
  return static_cast<std::size_t>(std::max<ssize_t>(count, 0));
}

std::size_t File::read_at(std::int64_t offset_bytes, std::span<std::byte> out, std::error_code& error) const {
  error.clear();
  std::size_t done = 0;
  while (done < out.size()) {
    const ssize_t count =
        ::pread(descriptor_, out.data() + done, out.size() - done, offset_bytes + static_cast<off_t>(done));
    if (count < 0 && errno == EINTR) continue;
    error = last_error_if(count < 0);
    if (count <= 0) break;
    done += static_cast<std::size_t>(count);
  }
  return done;
}

std::error_code File::write(std::string_view content) {
  while (!content.empty()) {
    const ssize_t count = ::write(descriptor_, content.data(), content.size());
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return code_of(errno);
    content.remove_prefix(static_cast<std::size_t>(count));
  }
  return {};
}

std::error_code File::write_at(std::int64_t offset_bytes, std::span<const std::byte> content) {
  while (!content.empty()) {
    const ssize_t count = ::pwrite(descriptor_, content.data(), content.size(), static_cast<off_t>(offset_bytes));
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return code_of(count < 0 ? errno : ENOSPC);
    content = content.subspan(static_cast<std::size_t>(count));
    offset_bytes += count;
  }
  return {};
}

std::error_code File::sync() {
  return last_error_if(::fsync(descriptor_) != 0 && errno != EINVAL);
}

std::error_code File::close() {
  if (descriptor_ < 0) return {};
  return last_error_if(::close(std::exchange(descriptor_, -1)) != 0);
}

std::optional<std::string> read_to_end(const File& stream, std::int64_t most_bytes) {
  constexpr std::size_t block_bytes = 1 << 18;
  std::string content;
  for (;;) {
    const std::size_t held = content.size();
    if (held > static_cast<std::size_t>(most_bytes)) return std::nullopt;
    content.resize(held + block_bytes);
    std::error_code error;
    const std::size_t count = stream.read(std::span(content).subspan(held), error);
    content.resize(held + count);
    if (error) throw std::system_error(error);
    if (count == 0) return content;
  }
}

std::optional<std::string> read_standard_input(std::int64_t most_bytes) {
  // A duplicate, so that standard input itself stays open.
  const File input(::fcntl(STDIN_FILENO, F_DUPFD_CLOEXEC, 0));
  if (!input.is_open()) throw std::system_error(code_of(errno));
  return read_to_end(input, most_bytes);
}

std::error_code rename_file(const std::string& from, const std::string& to) {
  return last_error_if(std::rename(from.c_str(), to.c_str()) != 0);
}

void remove_file(const std::string& path) {
  ::unlink(path.c_str());
}

std::error_code make_private_folder(const std::string& path) {
  return last_error_if(::mkdir(path.c_str(), 0700) != 0 && errno != EEXIST);
}

}  // namespace firmus::system
