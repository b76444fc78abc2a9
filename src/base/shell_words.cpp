#include "base/shell_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/base.hpp"

namespace firmus {
namespace {

bool is_control_character(char c) {
  return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
}

bool is_plain_word(std::string_view word, ShellEscapes escapes) {
  constexpr std::string_view plain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_@%+:,./-";
  const auto is_plain = [&](char c) {
    return plain.find(c) != std::string_view::npos || (c == '=' && escapes == ShellEscapes::octal);
  };
  return !word.empty() && std::all_of(word.begin(), word.end(), is_plain);
}

bool needs_escapes(std::string_view word, ShellEscapes escapes) {
  if (escapes == ShellEscapes::hexadecimal) return std::any_of(word.begin(), word.end(), is_control_character);
  return display_name(word) != word;
}

std::string in_single_quotes(std::string_view word) {
  std::string quoted = "'";
  for (const char c : word) quoted += c == '\'' ? "'\\''" : std::string(1, c);
  return quoted + "'";
}

std::string escaped(char c, ShellEscapes escapes) {
  const auto byte = static_cast<unsigned char>(c);
  if (c == '\'' || c == '\\') return fmt::format("\\{}", c);
  if (escapes == ShellEscapes::hexadecimal)
    return is_control_character(c) ? fmt::format("\\x{:02x}", byte) : std::string(1, c);
  return byte < 0x20 || byte >= 0x7F ? fmt::format("\\{:03o}", byte) : std::string(1, c);
}

std::string in_dollar_quotes(std::string_view word, ShellEscapes escapes) {
  std::string quoted = "$'";
  for (const char c : word) quoted += escaped(c, escapes);
  return quoted + "'";
}

}  // namespace

std::string shell_word(std::string_view word, ShellEscapes escapes) {
  if (needs_escapes(word, escapes)) return in_dollar_quotes(word, escapes);
  return is_plain_word(word, escapes) ? std::string(word) : in_single_quotes(word);
}

std::string shell_path(std::string_view path) {
  const bool like_an_option = path.size() > 1 && path.front() == '-';
  return shell_word(like_an_option ? "./" + std::string(path) : std::string(path));
}

}  // namespace firmus
