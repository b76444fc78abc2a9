// Files and folders as the operating system gives them. Errors are numbers of std::generic_category(), as in errno; a
// call that a signal interrupts is repeated.
#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <system_error>
#include <utility>

namespace firmus::system {

enum class FileType { regular, folder, pipe, socket, device };

struct FileStatus {
  FileType type = FileType::device;
  std::int64_t size_bytes = 0;
};

/// Status of what `path` names, symbolic links followed. Opens nothing.
FileStatus status_of(const std::string& path, std::error_code& error);

/// Whether the name is taken, also by a symbolic link to nothing.
bool name_exists(const std::string& path);

enum class OpenFor {
  reading,            ///< never waits for the writer of a pipe
  replacing,          ///< write and read; made where there is none, emptied where there is one; the user's default mode
  private_appending,  ///< write at the end; made for the user alone (mode 0600) where there is none
};

/// An open file, closed with the object. Child processes do not inherit it.
class File {
 public:
  File() = default;
  /// Takes over an open descriptor; -1 is no file.
  explicit File(int descriptor) : descriptor_(descriptor) {}
  /// Not open where `error` is set.
  static File open(const std::string& path, OpenFor purpose, std::error_code& error);
  /// For reading and writing, without a name, in the folder for temporary files (TMPDIR, else /tmp): gone when closed.
  static File open_anonymous(std::error_code& error);

  File(File&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}
  File& operator=(File&& other) noexcept {
    std::swap(descriptor_, other.descriptor_);
    return *this;
  }
  ~File() { (void)close(); }

  bool is_open() const { return descriptor_ >= 0; }
  /// For libraries that want one; the object still closes it.
  int descriptor() const { return descriptor_; }
  FileStatus status(std::error_code& error) const;

  /// The next bytes, out.size() at most; 0 at the end. Returns how many.
  std::size_t read(std::span<char> out, std::error_code& error) const;
  /// out.size() bytes from `offset_bytes` on; fewer at the end of the file, or where `error` is set. Returns how many.
  /// Several threads may read at a time.
  std::size_t read_at(std::int64_t offset_bytes, std::span<std::byte> out, std::error_code& error) const;
  /// All of `content`, where the last write ended.
  std::error_code write(std::string_view content);
  /// All of `content`, from `offset_bytes` on.
  std::error_code write_at(std::int64_t offset_bytes, std::span<const std::byte> content);
  /// Waits until what was written is on the disk. No error where the file system cannot do that.
  std::error_code sync();
  std::error_code close();

 private:
  int descriptor_ = -1;
};

/// Standard input to its end; nullopt when it is longer than `most_bytes`. Throws std::system_error when reading fails.
std::optional<std::string> read_standard_input(std::int64_t most_bytes);

/// Renames a file; another of the new name is replaced in one step.
std::error_code rename_file(const std::string& from, const std::string& to);

/// Removes a file; no error is reported.
void remove_file(const std::string& path);

/// Makes one folder for the user alone (mode 0700). One that is there is no error.
std::error_code make_private_folder(const std::string& path);

}  // namespace firmus::system
