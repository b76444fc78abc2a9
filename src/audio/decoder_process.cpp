#include "decoder_process.hpp"

#include <fmt/format.h>

#include "base/base.hpp"
#include "base/system/processes.hpp"
#include "bytes.hpp"
#include "ffmpeg_command.hpp"
#include "firmus/audio.hpp"
#include "firmus/error.hpp"

namespace firmus {
namespace audio {
namespace {

constexpr std::size_t reason_characters_at_most = 200;

[[noreturn]] void reject(const std::string& command, const std::string& what) {
  throw InputError(Problem{{},
                           fmt::format("--decoder '{}': {}", command, what),
                           "write it as in --decoder 'ffmpeg -v error -i {} -f wav -'"});
}

[[noreturn]] void fail(const std::string& what) {
  throw TakeError("unreadable", what, "run the --decoder command by hand on this file to see what it lacks");
}

/// Splits at white space, except inside '...' and "..."; nothing else is special.
std::vector<std::string> split_command(const std::string& command) {
  std::vector<std::string> words;
  std::string word;
  bool in_word = false;
  char quote = 0;
  for (const char c : command) {
    if (quote != 0 && c == quote) {
      quote = 0;
    } else if (quote == 0 && (c == '\'' || c == '"')) {
      quote = c;
      in_word = true;
    } else if (quote == 0 && (c == ' ' || c == '\t')) {
      if (in_word) words.push_back(std::move(word));
      word.clear();
      in_word = false;
    } else {
      word += c;
      in_word = true;
    }
  }
  if (quote != 0) reject(command, "a quote is not closed");
  if (in_word) words.push_back(std::move(word));
  return words;
}

/// The last line of what a program wrote, without blank lines; empty when it wrote nothing.
std::string last_line(std::string text) {
  const std::size_t end = text.find_last_not_of(" \t\r\n");
  if (end == std::string::npos) return {};
  text.resize(end + 1);
  const std::size_t begin = text.find_last_of("\r\n");
  if (begin != std::string::npos) text.erase(0, begin + 1);
  return display_name(text.substr(0, reason_characters_at_most));
}

std::string reason(const system::ProgramRun& run) {
  const std::string line = last_line(run.messages);
  if (!line.empty()) return line;
  if (run.signal) return fmt::format("ended by signal {}", *run.signal);
  return fmt::format("exit status {}", run.exit_status);
}

}  // namespace

std::string run_decoder(const std::string& command, const std::string& path) {
  const std::vector<std::string> words = decoder_words(command, path);
  system::ProgramRun run = system::run_program(words, longest_stream_bytes);
  if (run.not_started)
    fail(fmt::format("the decoder {} cannot be started: {}", display_name(words[0]), run.not_started.message()));
  if (!run.output)
    throw TakeError("too_long", "the decoder wrote more than 512 MiB", "convert the take to FLAC or MP3 first");
  if (!run.succeeded()) fail(fmt::format("the decoder failed: {}", reason(run)));
  if (run.output->empty()) fail("the decoder wrote nothing");
  return std::move(*run.output);
}

std::optional<std::string> run_ffmpeg(const std::string& path, const AudioFormat& format, double longest_s) {
  system::ProgramRun run =
      system::run_program(ffmpeg_words(path, format.ffmpeg_demuxer, longest_s), longest_stream_bytes);
  if (run.not_started) return std::nullopt;
  const auto fail_by_ffmpeg = [&](const std::string& why) {
    throw TakeError("unreadable", fmt::format("this is {}, but ffmpeg cannot read it: {}", format.name, why),
                    "listen to it; if it plays, export it as WAV, FLAC or MP3");
  };
  if (!run.output) fail_by_ffmpeg("it holds more than 512 MiB of sound");
  if (!run.succeeded()) fail_by_ffmpeg(reason(run));
  if (run.output->empty()) fail_by_ffmpeg("there is no sound in it");
  return std::move(run.output);
}

}  // namespace audio

std::vector<std::string> decoder_words(const std::string& command, const std::string& path) {
  using namespace audio;
  std::vector<std::string> words = split_command(command);
  if (words.empty() || words[0].empty()) reject(command, "there is no program in it");
  const std::string file = path.starts_with("-") ? "./" + path : path;
  bool has_place = false;
  for (std::string& word : words)
    for (std::size_t at = 0; (at = word.find("{}", at)) != std::string::npos; at += file.size()) {
      word.replace(at, 2, file);
      has_place = true;
    }
  if (!has_place) reject(command, "it has no {} for the file");
  return words;
}

}  // namespace firmus
