// UTF-8 (RFC 3629): the one decoder of the program.
#pragma once
#include <cstddef>
#include <string_view>

namespace firmus {

/// Length in bytes, 1 to 4, of the valid sequence at the front of `text` (no overlong forms, no surrogates, nothing
/// past U+10FFFF); 0 when the text begins with an invalid byte. `text` must not be empty.
std::size_t utf8_sequence_length(std::string_view text);

/// Whether the byte is the second to fourth one of a sequence.
constexpr bool is_utf8_continuation(char byte) {
  return (static_cast<unsigned char>(byte) & 0xC0) == 0x80;
}

/// Whether a valid sequence is a control character: C0, DEL or C1.
bool is_control_character(std::string_view sequence);

/// Number of Unicode code points in valid UTF-8; each invalid byte counts as one.
int code_points(std::string_view text);

/// The first `count` code points of valid UTF-8, or all of it when there are fewer.
std::string_view first_code_points(std::string_view text, int count);

}  // namespace firmus
