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

std::vector<std::string> ffmpeg_words(const std::string& path, const std::string& demuxer, double longest_s) {
  constexpr const char* most_memory_bytes = "268435456";
  // ffmpeg decodes an hour in a few seconds; a file made to keep it busy is ended.
  constexpr double processor_s_a_minute = 2, least_processor_s = 30;
  const double processor_s = least_processor_s + processor_s_a_minute * longest_s / 60;
  return {"ffmpeg",
          "-nostdin",
          "-hide_banner",
          "-v",
          "fatal",
          "-max_alloc",
          most_memory_bytes,
          "-timelimit",
          fmt::format("{:.0f}", processor_s),
          "-protocol_whitelist",
          "file,pipe",
          "-f",
          demuxer,
          "-i",
          "file:" + path,
          "-map",
          "0:a:0",
          "-t",
          fmt::format("{:.0f}", longest_s + 1),
          "-c:a",
          "pcm_s16le",
          "-f",
          "wav",
          "-"};
}

}  // namespace firmus::audio
