#include "base64.hpp"

#include <array>
#include <charconv>

#include "base/base.hpp"

namespace firmus::page {

std::string base64_of(std::string_view bytes) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  for (std::size_t at = 0; at < bytes.size(); at += 3) {
    std::array<unsigned, 3> group{};
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - at);
    for (std::size_t i = 0; i < count; ++i) group[i] = static_cast<unsigned char>(bytes[at + i]);
    const unsigned all = group[0] << 16 | group[1] << 8 | group[2];
    for (std::size_t i = 0; i < 4; ++i) text += i <= count ? letters[all >> (18 - 6 * i) & 63] : '=';
  }
  return text;
}

std::string policy_hash(std::string_view text) {
  const std::string hex = sha256_hex(text);
  std::string digest;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2) {
    unsigned byte = 0;
    std::from_chars(hex.data() + i, hex.data() + i + 2, byte, 16);
    digest += static_cast<char>(byte);
  }
  return "'sha256-" + base64_of(digest) + "'";
}

}  // namespace firmus::page
