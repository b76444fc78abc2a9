#include "declared_length.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace firmus::audio {
namespace {

using namespace std::string_view_literals;

/// A 32-bit size from here on means "unknown, written to a pipe": 0xFFFFFFFF, for some writers 0x7FFFF000.
constexpr std::uint64_t open_size_from = 0x7FFFF000;
/// No valid file has more chunks before its samples.
constexpr int most_chunks_read = 1000;

std::optional<DataBlock> block_at(const Bytes& bytes, std::int64_t begin, std::uint64_t declared) {
  const std::int64_t present = bytes.size() - begin;
  if (declared == 0 || declared > std::uint64_t{1} << 62 || present < 0) return std::nullopt;
  const auto wanted = static_cast<std::int64_t>(declared);
  return DataBlock{wanted, std::min(wanted, present)};
}

/// Chunk layout of a family of formats (RIFF and IFF: 4 + 4 bytes, padded to even; CAF: 4 + 8, unpadded).
struct Layout {
  std::int64_t first;
  std::size_t size_width;
  ByteOrder order;
  std::string_view data_name;
  bool padded;
};

std::optional<DataBlock> walk_chunks(const Bytes& bytes, const Layout& layout) {
  std::int64_t at = layout.first;
  std::optional<std::uint64_t> long_size;  // of RF64's ds64 chunk (EBU Tech 3306)
  for (int i = 0; i < most_chunks_read; ++i) {
    const std::string name = read_text(bytes, at, 4);
    const auto size = read_number(bytes, at + 4, layout.size_width, layout.order);
    if (name.size() != 4 || !size) return std::nullopt;
    const std::int64_t body = at + 4 + static_cast<std::int64_t>(layout.size_width);
    if (name == "ds64") long_size = read_number(bytes, body + 8, 8, ByteOrder::little);
    if (name == layout.data_name) {
      const bool open = layout.size_width == 4 && *size >= open_size_from;
      if (open && !long_size) return std::nullopt;
      return block_at(bytes, body, open ? *long_size : *size);
    }
    if (*size > static_cast<std::uint64_t>(bytes.size())) return std::nullopt;
    at = body + static_cast<std::int64_t>(*size + (layout.padded ? *size % 2 : 0));
  }
  return std::nullopt;
}

}  // namespace

std::optional<DataBlock> data_block(const Bytes& bytes) {
  const std::string head = read_text(bytes, 0, 12);
  if (head.size() < 12) return std::nullopt;
  const std::string_view form = std::string_view(head).substr(8);
  if (form == "WAVE" && (head.starts_with("RIFF") || head.starts_with("RF64")))
    return walk_chunks(bytes, {12, 4, ByteOrder::little, "data", true});
  if (form == "WAVE" && head.starts_with("RIFX")) return walk_chunks(bytes, {12, 4, ByteOrder::big, "data", true});
  if (head.starts_with("FORM") && form.starts_with("AIF"))
    return walk_chunks(bytes, {12, 4, ByteOrder::big, "SSND", true});
  if (head.starts_with("caff")) return walk_chunks(bytes, {8, 8, ByteOrder::big, "data", false});
  if (head.starts_with(".snd")) {
    const auto begin = read_number(bytes, 4, 4, ByteOrder::big), size = read_number(bytes, 8, 4, ByteOrder::big);
    if (begin && size && *size < open_size_from) return block_at(bytes, static_cast<std::int64_t>(*begin), *size);
  }
  return std::nullopt;
}

bool ogg_ends_early(const Bytes& bytes) {
  constexpr std::int64_t longest_page = 65307;  // RFC 3533, section 6
  constexpr unsigned char last_page_flag = 4;
  if (read_text(bytes, 0, 4) != "OggS") return false;
  const std::int64_t from = std::max<std::int64_t>(0, bytes.size() - longest_page);
  const std::string tail = read_text(bytes, from, static_cast<std::size_t>(bytes.size() - from));
  const std::size_t page = tail.rfind("OggS\0"sv);
  if (page == std::string::npos || page + 5 >= tail.size()) return true;
  return (static_cast<unsigned char>(tail[page + 5]) & last_page_flag) == 0;
}

}  // namespace firmus::audio
