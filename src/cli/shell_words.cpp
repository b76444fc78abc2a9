#include "shell_words.hpp"

#include <fmt/format.h>

#include "base/base.hpp"

namespace firmus::cli {
namespace {

bool is_plain(std::string_view word) {
  constexpr std::string_view safe = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_@%+=:,./-";
  return !word.empty() && word.find_first_not_of(safe) == std::string_view::npos;
}

std::string in_quotes(std::string_view word) {
  std::string quoted = "'";
  for (const char c : word) quoted += c == '\'' ? "'\\''" : std::string(1, c);
  return quoted + "'";
}

/// $'...' with every byte outside printable ASCII escaped.
std::string in_escapes(std::string_view word) {
  std::string escaped = "$'";
  for (const char c : word) {
    if (c == '\'' || c == '\\') {
      escaped += fmt::format("\\{}", c);
    } else if (c >= 0x20 && c < 0x7F) {
      escaped += c;
    } else {
      escaped += fmt::format("\\{:03o}", static_cast<unsigned char>(c));
    }
  }
  return escaped + "'";
}

}  // namespace

std::string shell_word(std::string_view word) {
  if (is_plain(word)) return std::string(word);
  return display_name(word) == word ? in_quotes(word) : in_escapes(word);
}

std::string shell_path(std::string_view path) {
  const bool like_an_option = path.size() > 1 && path.front() == '-';
  return shell_word(like_an_option ? "./" + std::string(path) : std::string(path));
}

}  // namespace firmus::cli
