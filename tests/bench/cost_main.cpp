// firmus_bench_cost COMMAND...: runs the command, discards its output and prints "USER_S WALL_S PEAK_MIB".
#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>

int main(int argc, char** argv) {
  if (argc < 2) return std::fputs("usage: firmus_bench_cost COMMAND...\n", stderr), 2;
  const auto begin = std::chrono::steady_clock::now();
  const pid_t child = fork();
  if (child == 0) {
    const int nowhere = open("/dev/null", O_WRONLY);
    dup2(nowhere, STDOUT_FILENO);
    dup2(nowhere, STDERR_FILENO);
    execvp(argv[1], argv + 1);
    _exit(127);
  }
  int status = 0;
  rusage used{};
  wait4(child, &status, 0, &used);
  const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - begin;
  const double user_s = static_cast<double>(used.ru_utime.tv_sec) + 1e-6 * static_cast<double>(used.ru_utime.tv_usec);
  std::printf("%.3f %.3f %.1f\n", user_s, wall.count(), static_cast<double>(used.ru_maxrss) / 1024);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 1;
}
