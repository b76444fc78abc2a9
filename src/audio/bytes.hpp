// Random access to the bytes of a recording: a regular file, or a block in memory. Reading never blocks.
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>

namespace firmus::audio {

/// Bytes that can be read at any offset and in any order.
class Bytes {
 public:
  Bytes() = default;
  Bytes(const Bytes&) = delete;
  Bytes& operator=(const Bytes&) = delete;
  virtual ~Bytes() = default;
  virtual std::int64_t size() const = 0;
  /// Copies up to out.size() bytes from `offset` on and returns their number.
  virtual std::size_t read_at(std::int64_t offset, std::span<unsigned char> out) const = 0;
};

/// Largest size of a stream (standard input, a decoder), which is kept in memory.
inline constexpr std::int64_t longest_stream_bytes = std::int64_t{512} << 20;

/// A regular file. Throws TakeError: missing, not_a_file (directory, FIFO, socket, device), unreadable, empty.
std::unique_ptr<Bytes> open_file_bytes(const std::string& path);

/// Bytes that have been read already.
std::unique_ptr<Bytes> bytes_in_memory(std::string content);

/// Up to `count` bytes from `offset` on, as text.
std::string read_text(const Bytes& bytes, std::int64_t offset, std::size_t count);

enum class ByteOrder { little, big };

/// An unsigned integer of `width` (up to 8) bytes at `offset`; none when it extends past the end.
std::optional<std::uint64_t> read_number(const Bytes& bytes, std::int64_t offset, std::size_t width, ByteOrder order);

}  // namespace firmus::audio
