#include "ffmpeg_command.hpp"

#include <fmt/format.h>

#include "base/shell_words.hpp"

namespace firmus::audio {
namespace {

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

std::string ffmpeg_command(const std::string& path) {
  if (path == "-") return "ffmpeg -i NAME NAME.wav";
  const auto word = [](const std::string& name) { return shell_word(as_argument(name), ShellEscapes::hexadecimal); };
  return fmt::format("ffmpeg -i {} {}", word(path), word(wav_name(path)));
}

}  // namespace firmus::audio
