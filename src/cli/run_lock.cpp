#include "run_lock.hpp"

#include <fmt/format.h>
#include <signal.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

#include "base/base.hpp"
#include "firmus/error.hpp"
#include "folder_lock.hpp"
#include "half_written.hpp"
#include "out_folder.hpp"

namespace firmus::cli {
namespace {

namespace fs = std::filesystem;
constexpr std::string_view ending = ".lock";

std::string host_name() {
  std::array<char, 256> name{};
  if (::gethostname(name.data(), name.size() - 1) != 0) return "unknown";
  return name.data();
}

std::string content_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

/// When a process began, in the system's own ticks (proc(5), field 22): a process number may be given out again.
std::string beginning_of(int process) {
  const std::string stat = content_of(fmt::format("/proc/{}/stat", process));
  const std::size_t name_end = stat.rfind(')');
  if (name_end == std::string::npos) return {};
  constexpr int fields_after_name = 20;
  std::size_t at = name_end + 1;
  for (int field = 0; field < fields_after_name; ++field)
    at = stat.find_first_not_of(' ', std::min(stat.find(' ', at), stat.size()));
  return at == std::string::npos ? std::string() : stat.substr(at, stat.find(' ', at) - at);
}

struct Holder {
  std::string host, began;
  int process = 0;
};

std::string as_text(const Holder& holder) {
  return fmt::format("{} {} {}\n", holder.host, holder.process, holder.began);
}

std::optional<Holder> holder_in(const std::string& text) {
  Holder holder;
  const std::size_t first = text.find(' ');
  const std::size_t second = first == std::string::npos ? first : text.find(' ', first + 1);
  if (second == std::string::npos) return std::nullopt;
  holder.host = text.substr(0, first);
  holder.began = text.substr(second + 1, text.find('\n', second) - second - 1);
  const auto [end, error] = std::from_chars(text.data() + first + 1, text.data() + second, holder.process);
  if (error != std::errc() || end != text.data() + second || holder.process <= 0) return std::nullopt;
  return holder;
}

/// Of another host nothing can be told.
bool is_gone(const Holder& holder) {
  if (holder.host != host_name()) return false;
  if (::kill(holder.process, 0) != 0 && errno == ESRCH) return true;
  const std::string began = beginning_of(holder.process);
  return !holder.began.empty() && !began.empty() && began != holder.began;
}

std::string name_of(const std::optional<Shard>& shard) {
  return shard ? fmt::format("{}-of-{}", shard->number, shard->of) : "whole";
}

/// Shards of one N that are not the same go side by side.
bool go_together(const std::string& a, const std::string& b) {
  const auto of = [](const std::string& name) {
    const std::size_t at = name.find("-of-");
    return at == std::string::npos ? std::string() : name.substr(at);
  };
  return a != b && !of(a).empty() && of(a) == of(b);
}

[[noreturn]] void in_the_way(const std::string& path, const Holder& holder) {
  throw InputError(Problem{
      {},
      fmt::format("another run works in this folder: process {} on {}", holder.process, display_name(holder.host)),
      holder.host == host_name() ? "wait until it has ended"
                                 : fmt::format("wait until it has ended; if it is gone, remove {}", path)});
}

void require_room(const std::string& folder, const std::string& name) {
  clear_half_written(folder, [](const std::string& file) { return file.ends_with(ending); });
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const std::string file = entry.path().filename().string();
    if (!file.ends_with(ending)) continue;
    const std::string other = file.substr(0, file.size() - ending.size());
    const std::string path = entry.path().string();
    const auto holder = holder_in(content_of(path));
    if (!holder || is_gone(*holder)) {
      fs::remove(path, error);
    } else if (!go_together(name, other)) {
      in_the_way(path, *holder);
    }
  }
}

}  // namespace

RunLock::RunLock(const std::string& folder, const std::optional<Shard>& shard) {
  make_folder("--out", folder);
  const FolderLock lock(folder);
  const std::string name = name_of(shard);
  require_room(folder, name);
  const int process = static_cast<int>(::getpid());
  path_ = folder + "/" + name + std::string(ending);
  write_whole_file(path_, as_text({host_name(), beginning_of(process), process}));
}

void RunLock::release() {
  std::error_code error;
  if (!path_.empty()) fs::remove(path_, error);
  path_.clear();
}

}  // namespace firmus::cli
