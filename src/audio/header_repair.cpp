#include "header_repair.hpp"

#include <algorithm>
#include <array>

#include "audio_format.hpp"

namespace firmus::audio {
namespace {

/// No valid file has more chunks before its samples.
constexpr int chunks_at_most = 1000;
/// A Xing or Info header begins within the first bytes of the first frame.
constexpr std::size_t xing_within_bytes = 64;

/// Four bytes that replace those at `place`.
struct Patch {
  std::int64_t place;
  std::array<unsigned char, 4> bytes;
};

class RepairedBytes : public Bytes {
 public:
  RepairedBytes(std::unique_ptr<Bytes> bytes, Patch patch) : bytes_(std::move(bytes)), patch_(patch) {}
  std::int64_t size() const override { return bytes_->size(); }
  std::size_t read_at(std::int64_t offset, std::span<unsigned char> out) const override {
    const std::size_t count = bytes_->read_at(offset, out);
    const std::int64_t from = std::max(patch_.place, offset);
    const std::int64_t to = std::min(patch_.place + 4, offset + static_cast<std::int64_t>(count));
    for (std::int64_t at = from; at < to; ++at)
      out[static_cast<std::size_t>(at - offset)] = patch_.bytes[static_cast<std::size_t>(at - patch_.place)];
    return count;
  }

 private:
  std::unique_ptr<Bytes> bytes_;
  Patch patch_;
};

std::optional<Patch> find_unset_wav_size(const Bytes& bytes) {
  const std::string head = read_text(bytes, 0, 12);
  if (!head.starts_with("RIFF") || !head.ends_with("WAVE")) return std::nullopt;
  const auto file_size = read_number(bytes, 4, 4, ByteOrder::little);
  std::int64_t at = 12;
  for (int i = 0; i < chunks_at_most; ++i) {
    const std::string name = read_text(bytes, at, 4);
    const auto size = read_number(bytes, at + 4, 4, ByteOrder::little);
    if (name.size() != 4 || !size) return std::nullopt;
    const std::int64_t body = at + 8;
    if (name != "data") {
      at = body + static_cast<std::int64_t>(*size + *size % 2);
      continue;
    }
    // With an empty data chunk and further chunks, the size of the file would count the latter.
    const bool unfinished = *size == 0 && static_cast<std::int64_t>(*file_size) + 8 <= body && bytes.size() > body;
    if (!unfinished) return std::nullopt;
    return Patch{at + 4, {0xFF, 0xFF, 0xFF, 0xFF}};
  }
  return std::nullopt;
}

/// The tag is its name, four bytes of flags (1: frame count follows, 2: byte count follows), then these counts,
/// big-endian.
std::optional<Patch> find_wrong_mp3_byte_count(const Bytes& bytes) {
  const std::int64_t begin = tag_length(bytes);
  const std::string frame = read_text(bytes, begin, xing_within_bytes);
  if (frame.size() < 4 || frame[0] != '\xFF' || (frame[1] & '\xE0') != '\xE0') return std::nullopt;
  const std::size_t place = std::min(frame.find("Xing"), frame.find("Info"));
  if (place == std::string::npos) return std::nullopt;
  const std::int64_t tag = begin + static_cast<std::int64_t>(place);
  const auto flags = read_number(bytes, tag + 4, 4, ByteOrder::big);
  if (!flags || (*flags & 2) == 0) return std::nullopt;
  const auto size = static_cast<std::uint64_t>(bytes.size() - begin);
  const auto part = [&](int shift) { return static_cast<unsigned char>(size >> shift & 255); };
  return Patch{tag + 8 + ((*flags & 1) != 0 ? 4 : 0), {part(24), part(16), part(8), part(0)}};
}

}  // namespace

std::unique_ptr<Bytes> repair_headers(std::unique_ptr<Bytes> bytes) {
  auto patch = find_unset_wav_size(*bytes);
  if (!patch) patch = find_wrong_mp3_byte_count(*bytes);
  if (!patch) return bytes;
  return std::make_unique<RepairedBytes>(std::move(bytes), *patch);
}

}  // namespace firmus::audio
