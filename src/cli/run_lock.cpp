#include "run_lock.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

#include "base/base.hpp"
#include "base/partial_files.hpp"
#include "base/system/locks.hpp"
#include "base/system/processes.hpp"
#include "firmus/error.hpp"
#include "out_folder.hpp"

namespace firmus::cli {
namespace {

namespace fs = std::filesystem;
constexpr std::string_view ending = ".lock";

std::string content_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
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
  if (holder.host != system::host_name()) return false;
  if (system::has_ended(holder.process)) return true;
  const std::string began = system::start_time_of(holder.process);
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
      holder.host == system::host_name() ? "wait until it has ended"
                                         : fmt::format("wait until it has ended; if it is gone, remove {}", path)});
}

void require_room(const std::string& folder, const std::string& name) {
  remove_abandoned_files(folder, [](const std::string& file) { return file.ends_with(ending); });
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
  const system::FolderLock lock(folder);
  const std::string name = name_of(shard);
  require_room(folder, name);
  const int process = system::process_id();
  path_ = folder + "/" + name + std::string(ending);
  write_whole_file(path_, as_text({system::host_name(), system::start_time_of(process), process}));
}

void RunLock::release() {
  std::error_code error;
  if (!path_.empty()) fs::remove(path_, error);
  path_.clear();
}

}  // namespace firmus::cli
