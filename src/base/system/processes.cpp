#include "base/system/processes.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#ifdef __linux__
#include <sys/prctl.h>
#endif
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

int wait_for(pid_t child) {
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return status;
}

/// Only what POSIX allows between fork and exec in a program with threads. Does not return.
[[noreturn]] void become(char* const* arguments, pid_t parent, int output, int messages, int failure) {
  // A group of its own: Ctrl-C goes to us alone, or the program would look as if it had failed on its file.
  ::setpgid(0, 0);
#ifdef __linux__
  ::prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (::getppid() != parent) ::_exit(0);  // the parent ended before the line above
#else
  (void)parent;
#endif
  const int nothing = ::open("/dev/null", O_RDWR);
  ::dup2(nothing, STDIN_FILENO);
  ::dup2(output, STDOUT_FILENO);
  ::dup2(messages >= 0 ? messages : nothing, STDERR_FILENO);
  ::execvp(arguments[0], arguments);
  const int error = errno;
  (void)!::write(failure, &error, sizeof error);
  ::_exit(127);
}

/// posix_spawn cannot ask for the child's end at ours (PR_SET_PDEATHSIG), hence fork. The failure pipe closes at exec.
std::error_code start(std::vector<std::string>& words, const File& output, const MessageFile& messages, pid_t& child) {
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  Pipe failure = make_pipe();
  const pid_t parent = ::getpid();
  child = ::fork();
  if (child < 0) return {errno, std::generic_category()};
  if (child == 0)
    become(arguments.data(), parent, output.descriptor(), messages.descriptor(), failure.writing_end.descriptor());
  (void)failure.writing_end.close();
  int error = 0;
  ssize_t count = 0;
  while ((count = ::read(failure.reading_end.descriptor(), &error, sizeof error)) < 0 && errno == EINTR) {
  }
  if (count != static_cast<ssize_t>(sizeof error)) return {};
  wait_for(child);
  return {error, std::generic_category()};
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
