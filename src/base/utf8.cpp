#include "base/utf8.hpp"

namespace firmus {

std::size_t utf8_sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || text.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if (!is_utf8_continuation(text[i])) return 0;
  const unsigned second = byte(1);
  const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool outside = (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
  return overlong || outside ? 0 : length;
}

bool is_control_character(std::string_view sequence) {
  const auto first = static_cast<unsigned char>(sequence[0]);
  if (sequence.size() == 1) return first < 0x20 || first == 0x7F;
  return first == 0xC2 && static_cast<unsigned char>(sequence[1]) < 0xA0;  // C1
}

int code_points(std::string_view text) {
  int count = 0;
  while (!text.empty()) {
    const std::size_t length = utf8_sequence_length(text);
    text.remove_prefix(length ? length : 1);
    ++count;
  }
  return count;
}

std::string_view first_code_points(std::string_view text, int count) {
  std::size_t end = 0;
  for (int found = 0; end < text.size(); ++end)
    if (!is_utf8_continuation(text[end]) && found++ == count) break;
  return text.substr(0, end);
}

}  // namespace firmus
