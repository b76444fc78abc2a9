#include "ffmpeg_command.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace firmus::audio {
namespace {

bool is_plain(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
         std::string_view("_-./,+:@%").find(c) != std::string_view::npos;
}

bool is_control(char c) {
  return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
}

/// The form $'...', used only for control characters, so that the command stays on one line.
std::string dollar_quoted(const std::string& word) {
  std::string quoted = "$'";
  for (const char c : word) {
    if (is_control(c))
      quoted += fmt::format("\\x{:02x}", static_cast<unsigned char>(c));
    else if (c == '\'' || c == '\\')
      (quoted += '\\') += c;
    else
      quoted += c;
  }
  return quoted + "'";
}

/// ffmpeg takes a name that starts with - for an option, and one with a colon before any slash for a protocol.
std::string as_argument(const std::string& path) {
  const std::size_t special = path.find_first_of(":/");
  const bool protocol = special != std::string::npos && path[special] == ':';
  return path.starts_with("-") || protocol ? "./" + path : path;
}

std::string wav_name(const std::string& path) {
  const std::size_t name = path.rfind('/') == std::string::npos ? 0 : path.rfind('/') + 1;
  const std::size_t dot = path.rfind('.');
  if (dot == std::string::npos || dot <= name) return path + ".wav";
  const std::string stem = path.substr(0, dot);
  return path == stem + ".wav" ? stem + ".converted.wav" : stem + ".wav";
}

}  // namespace

std::string shell_word(const std::string& word) {
  if (std::any_of(word.begin(), word.end(), is_control)) return dollar_quoted(word);
  if (!word.empty() && std::all_of(word.begin(), word.end(), is_plain)) return word;
  std::string quoted = "'";
  for (const char c : word) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

std::string ffmpeg_command(const std::string& path) {
  if (path == "-") return "ffmpeg -i NAME NAME.wav";
  return fmt::format("ffmpeg -i {} {}", shell_word(as_argument(path)), shell_word(as_argument(wav_name(path))));
}

}  // namespace firmus::audio
