#include "base/system/processes.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <utility>

#include "base/file_content.hpp"
#include "base/system/read_to_end.hpp"

namespace firmus::system {
namespace {

struct Pipe {
  File reading_end, writing_end;
};

Pipe make_pipe() {
  std::array<int, 2> ends{};
  if (::pipe2(ends.data(), O_CLOEXEC) != 0) throw std::system_error(errno, std::generic_category(), "pipe");
  return {File(ends[0]), File(ends[1])};
}

/// An anonymous file for a program's messages: a pipe that nobody reads would fill up and stop the program.
class MessageFile {
 public:
  MessageFile() : file_(std::tmpfile()) {}
  MessageFile(const MessageFile&) = delete;
  MessageFile& operator=(const MessageFile&) = delete;
  ~MessageFile() {
    if (file_ != nullptr) std::fclose(file_);
  }
  int descriptor() const { return file_ != nullptr ? ::fileno(file_) : -1; }
  std::string tail() const {
    constexpr off_t most_bytes = 4096;
    if (file_ == nullptr) return {};
    const off_t size = ::lseek(descriptor(), 0, SEEK_END);
    std::string text(static_cast<std::size_t>(std::min(size, most_bytes)), '\0');
    const ssize_t count = ::pread(descriptor(), text.data(), text.size(), size - static_cast<off_t>(text.size()));
    text.resize(static_cast<std::size_t>(std::max<ssize_t>(count, 0)));
    return text;
  }

 private:
  std::FILE* file_;
};

std::error_code start(std::vector<std::string>& words, const File& output, const MessageFile& messages, pid_t& child) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, output.descriptor(), STDOUT_FILENO);
  if (messages.descriptor() >= 0)
    posix_spawn_file_actions_adddup2(&actions, messages.descriptor(), STDERR_FILENO);
  else
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  const int error = ::posix_spawnp(&child, arguments[0], &actions, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  return {error, std::generic_category()};
}

int wait_for(pid_t child) {
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

/// What it wrote before a read failed is lost.
std::optional<std::string> output_of(const File& stream, std::int64_t most_bytes) {
  try {
    return read_to_end(stream, most_bytes);
  } catch (const std::system_error&) {
    return std::string();
  }
}

}  // namespace

int process_id() {
  return static_cast<int>(::getpid());
}

std::string host_name() {
  std::array<char, 256> name{};
  if (::gethostname(name.data(), name.size() - 1) != 0) return "unknown";
  return name.data();
}

bool has_ended(int process) {
  return ::kill(process, 0) != 0 && errno == ESRCH;
}

// proc(5), field 22 of /proc/PID/stat. The second field, the program's name in parentheses, may hold spaces.
std::string start_time_of(int process) {
  const std::string stat = file_content(fmt::format("/proc/{}/stat", process)).value_or("");
  const std::size_t name_end = stat.rfind(')');
  if (name_end == std::string::npos) return {};
  constexpr int fields_after_name = 20;
  std::size_t at = name_end + 1;
  for (int field = 0; field < fields_after_name; ++field)
    at = stat.find_first_not_of(' ', std::min(stat.find(' ', at), stat.size()));
  return at == std::string::npos ? std::string() : stat.substr(at, stat.find(' ', at) - at);
}

ProgramRun run_program(std::vector<std::string> words, std::int64_t most_output_bytes) {
  ProgramRun run;
  Pipe pipe = make_pipe();
  const MessageFile messages;
  pid_t child = 0;
  run.not_started = start(words, pipe.writing_end, messages, child);
  if (run.not_started) return run;
  (void)pipe.writing_end.close();
  run.output = output_of(pipe.reading_end, most_output_bytes);
  if (!run.output) ::kill(child, SIGKILL);
  (void)pipe.reading_end.close();
  const int status = wait_for(child);
  if (WIFSIGNALED(status)) run.signal = WTERMSIG(status);
  if (WIFEXITED(status)) run.exit_status = WEXITSTATUS(status);
  run.messages = messages.tail();
  return run;
}

}  // namespace firmus::system
