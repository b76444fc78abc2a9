#include "run_lock.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>
#include <vector>

#include "base/base.hpp"
#include "base/file_content.hpp"
#include "base/partial_files.hpp"
#include "base/system/locks.hpp"
#include "base/system/processes.hpp"
#include "firmus/error.hpp"
#include "out_folder.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;
constexpr std::string_view lock_ending = ".lock";

struct Holder {
  std::string host, start_time;
  int process = 0;
};

std::string lock_text(const Holder& holder) {
  return fmt::format("{} {} {}\n", holder.host, holder.process, holder.start_time);
}

std::optional<Holder> parse_holder(const std::string& text) {
  Holder holder;
  const std::size_t first = text.find(' ');
  const std::size_t second = first == std::string::npos ? first : text.find(' ', first + 1);
  if (second == std::string::npos) return std::nullopt;
  holder.host = text.substr(0, first);
  holder.start_time = text.substr(second + 1, text.find('\n', second) - second - 1);
  const auto [end, error] = std::from_chars(text.data() + first + 1, text.data() + second, holder.process);
  if (error != std::errc() || end != text.data() + second || holder.process <= 0) return std::nullopt;
  return holder;
}

/// A process of another host counts as running.
bool has_ended(const Holder& holder) {
  if (holder.host != system::host_name()) return false;
  if (system::has_ended(holder.process)) return true;
  const std::string start_time = system::start_time_of(holder.process);
  return !holder.start_time.empty() && !start_time.empty() && start_time != holder.start_time;
}

std::string lock_name(const std::optional<Shard>& shard) {
  return shard ? fmt::format("{}-of-{}", shard->number, shard->of) : "whole";
}

/// Different shards of the same number of parts.
bool may_run_together(const std::string& a, const std::string& b) {
  const auto of = [](const std::string& name) {
    const std::size_t at = name.find("-of-");
    return at == std::string::npos ? std::string() : name.substr(at);
  };
  return a != b && !of(a).empty() && of(a) == of(b);
}

[[noreturn]] void reject_because_of(const std::string& path, const Holder& holder) {
  throw InputError(Problem{
      {},
      fmt::format("another run works in this folder: process {} on {}", holder.process, display_name(holder.host)),
      holder.host == system::host_name() ? "wait until it has ended"
                                         : fmt::format("wait until it has ended; if it is gone, remove {}", path)});
}

void require_no_other_run(const std::string& folder, const std::string& name) {
  remove_abandoned_files(folder, [](const std::string& file) { return file.ends_with(lock_ending); });
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const std::string file = entry.path().filename().string();
    if (!file.ends_with(lock_ending)) continue;
    const std::string other = file.substr(0, file.size() - lock_ending.size());
    const std::string path = entry.path().string();
    const auto holder = parse_holder(file_content(path).value_or(""));
    if (!holder || has_ended(*holder)) {
      fs::remove(path, error);
    } else if (!may_run_together(name, other)) {
      reject_because_of(path, *holder);
    }
  }
}

}  // namespace

RunLock::RunLock(const std::string& folder, const std::optional<Shard>& shard) {
  make_folder("--out", folder);
  const system::FolderLock lock(folder);
  const std::string name = lock_name(shard);
  require_no_other_run(folder, name);
  const int process = system::process_id();
  path_ = folder + "/" + name + std::string(lock_ending);
  write_whole_file(path_, lock_text({system::host_name(), system::start_time_of(process), process}));
}

void RunLock::release() {
  std::error_code error;
  if (!path_.empty()) fs::remove(path_, error);
  path_.clear();
}

}  // namespace firmus::batch
