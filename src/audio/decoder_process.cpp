#include "decoder_process.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <optional>
#include <system_error>

#include "base/base.hpp"
#include "bytes.hpp"
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

/// Both ends of a pipe, closed by the destructor.
class Pipe {
 public:
  Pipe() {
    if (::pipe2(ends_, O_CLOEXEC) != 0) throw std::system_error(errno, std::generic_category(), "pipe");
  }
  Pipe(const Pipe&) = delete;
  Pipe& operator=(const Pipe&) = delete;
  ~Pipe() {
    close_end(0);
    close_end(1);
  }
  int reading() const { return ends_[0]; }
  int writing() const { return ends_[1]; }
  void close_end(int end) {
    if (ends_[end] >= 0) ::close(ends_[end]);
    ends_[end] = -1;
  }

 private:
  int ends_[2] = {-1, -1};
};

/// An anonymous file for the decoder's messages: a pipe could fill up and block the decoder.
class Messages {
 public:
  Messages() : file_(std::tmpfile()) {}
  Messages(const Messages&) = delete;
  Messages& operator=(const Messages&) = delete;
  ~Messages() {
    if (file_ != nullptr) std::fclose(file_);
  }
  int descriptor() const { return file_ != nullptr ? ::fileno(file_) : -1; }
  std::string last_line() const;

 private:
  std::FILE* file_;
};

std::string Messages::last_line() const {
  constexpr off_t tail_bytes = 4096;
  if (file_ == nullptr) return {};
  const off_t size = ::lseek(descriptor(), 0, SEEK_END);
  std::string text(static_cast<std::size_t>(std::min(size, tail_bytes)), '\0');
  const ssize_t count = ::pread(descriptor(), text.data(), text.size(), size - static_cast<off_t>(text.size()));
  text.resize(static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
  const std::size_t end = text.find_last_not_of(" \t\r\n");
  if (end == std::string::npos) return {};
  text.resize(end + 1);
  const std::size_t begin = text.find_last_of("\r\n");
  if (begin != std::string::npos) text.erase(0, begin + 1);
  return display_name(text.substr(0, reason_characters_at_most));
}

pid_t start(std::vector<std::string>& words, const Pipe& output, const Messages& messages) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, output.writing(), STDOUT_FILENO);
  if (messages.descriptor() >= 0)
    posix_spawn_file_actions_adddup2(&actions, messages.descriptor(), STDERR_FILENO);
  else
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  const int error = ::posix_spawnp(&child, arguments[0], &actions, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  if (error != 0)
    fail(fmt::format("the decoder {} cannot be started: {}", display_name(words[0]),
                     std::generic_category().message(error)));
  return child;
}

int wait_for(pid_t child) {
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

std::string reason(int status, const Messages& messages) {
  const std::string line = messages.last_line();
  if (!line.empty()) return line;
  if (WIFSIGNALED(status)) return fmt::format("ended by signal {}", WTERMSIG(status));
  return fmt::format("exit status {}", WEXITSTATUS(status));
}

}  // namespace

std::string run_decoder(const std::string& command, const std::string& path) {
  std::vector<std::string> words = decoder_words(command, path);
  Pipe output;
  const Messages messages;
  const pid_t child = start(words, output, messages);
  output.close_end(1);
  std::optional<std::string> content;
  try {
    content = read_stream(output.reading(), longest_stream_bytes);
  } catch (const std::system_error&) {
    content = std::string();
  }
  if (!content) ::kill(child, SIGKILL);
  output.close_end(0);
  const int status = wait_for(child);
  if (!content)
    throw TakeError("too_long", "the decoder wrote more than 512 MiB", "convert the take to FLAC or MP3 first");
  if (status != 0) fail(fmt::format("the decoder failed: {}", reason(status, messages)));
  if (content->empty()) fail("the decoder wrote nothing");
  return std::move(*content);
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
