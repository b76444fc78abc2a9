#include "result_store.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <system_error>

#include "base/base.hpp"
#include "base/partial_files.hpp"
#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;
constexpr std::size_t digest_digits = 64;

/// One line: key, digest of the files, result. The name of a result (ids and numbers) has no line break.
std::string line_of(const std::string& key, const std::string& files_digest, const std::string& result) {
  return fmt::format("{},{},{}\n", key, files_digest, result);
}

bool is_digest(std::string_view text) {
  return text.size() == digest_digits && text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

void append(const std::string& path, const std::string& line) {
  std::error_code error;
  system::File file = system::File::open(path, system::OpenFor::private_appending, error);
  if (!error) error = file.write(line);
  if (error) throw WriteError(fmt::format("{}: cannot be written: {}", display_name(path), error.message()));
}

}  // namespace

std::string digest_of(const std::vector<std::string>& names, const std::vector<std::string>& contents) {
  std::string all;
  for (std::size_t i = 0; i < names.size(); ++i)
    all += fmt::format("{}\n{}\n{}", names[i], contents[i].size(), contents[i]);
  return sha256_hex(all);
}

ResultStore::ResultStore(std::string folder, const std::optional<Shard>& shard)
    : folder_(std::move(folder)),
      path_(shard ? fmt::format("{}/reuse.{}-of-{}.csv", folder_, shard->number, shard->of) : folder_ + "/reuse.csv"),
      is_shard_(shard.has_value()) {
  const std::string own = path_.substr(folder_.size() + 1);
  remove_abandoned_files(folder_, [&](const std::string& name) { return name == own; });
  // The whole list first: what a shard measured again replaces it.
  read(folder_ + "/reuse.csv");
  if (is_shard_) read(path_);
  if (!is_shard_)
    for (const std::string& list : lists_of_shards(folder_)) read(folder_ + "/" + list);
  // A line that was cut off must not run into the next one.
  std::error_code error;
  if (fs::exists(path_, error)) append(path_, "\n");
}

std::vector<std::string> lists_of_shards(const std::string& folder) {
  std::vector<std::string> lists;
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const std::string name = entry.path().filename().string();
    if (name.starts_with("reuse.") && name.ends_with(".csv") && name.find("-of-") != std::string::npos)
      lists.push_back(name);
  }
  std::sort(lists.begin(), lists.end());
  return lists;
}

void ResultStore::read(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  constexpr std::size_t second = digest_digits + 1, third = 2 * second;
  for (std::string line; std::getline(file, line) && !file.eof();) {
    if (line.size() <= third || line[digest_digits] != ',' || line[third - 1] != ',') continue;
    Entry entry{line.substr(0, digest_digits), line.substr(second, digest_digits)};
    if (is_digest(entry.key) && is_digest(entry.files_digest)) entries_[line.substr(third)] = std::move(entry);
  }
}

std::optional<std::string> ResultStore::files_digest(const std::string& result, const std::string& key) const {
  const std::lock_guard lock(mutex_);
  const auto at = entries_.find(result);
  return at != entries_.end() && at->second.key == key ? std::optional(at->second.files_digest) : std::nullopt;
}

void ResultStore::add(const std::string& result, const std::string& key, const std::string& files_digest) {
  const std::lock_guard lock(mutex_);
  append(path_, line_of(key, files_digest, result));
  entries_[result] = {key, files_digest};
}

void ResultStore::finish(const std::vector<std::string>& results) {
  const std::lock_guard lock(mutex_);
  std::string text;
  for (const std::string& result : results)
    if (const auto at = entries_.find(result); at != entries_.end())
      text += line_of(at->second.key, at->second.files_digest, result);
  write_whole_file(path_, text);
  std::error_code error;
  if (!is_shard_)
    for (const std::string& list : lists_of_shards(folder_)) fs::remove(folder_ + "/" + list, error);
}

}  // namespace firmus::batch
