#include "half_written.hpp"

#include <signal.h>

#include <cerrno>
#include <charconv>
#include <filesystem>
#include <optional>
#include <system_error>

namespace firmus::cli {
namespace {

namespace fs = std::filesystem;

struct HalfWritten {
  std::string name;
  pid_t process = 0;
};

std::optional<HalfWritten> half_written(const std::string& file) {
  constexpr std::string_view ending = ".part";
  if (!file.ends_with(ending)) return std::nullopt;
  const std::string rest = file.substr(0, file.size() - ending.size());
  const std::size_t dot = rest.rfind('.');
  if (dot == std::string::npos) return std::nullopt;
  HalfWritten half{rest.substr(0, dot), 0};
  const auto [end, code] = std::from_chars(rest.data() + dot + 1, rest.data() + rest.size(), half.process);
  if (code != std::errc() || end != rest.data() + rest.size() || half.process <= 0) return std::nullopt;
  return half;
}

bool is_gone(pid_t process) {
  return ::kill(process, 0) != 0 && errno == ESRCH;
}

}  // namespace

void clear_half_written(const std::string& folder, const std::function<bool(const std::string& name)>& is_ours) {
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const auto half = half_written(entry.path().filename().string());
    if (half && is_ours(half->name) && is_gone(half->process)) fs::remove(entry.path(), error);
  }
}

}  // namespace firmus::cli
