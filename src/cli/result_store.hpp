// Results that are there already: what they were measured from, so that a run measures only what changed.
#pragma once
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "run_lock.hpp"

namespace firmus::cli {

/// Lists lie in `folder` (private/): reuse.csv, and reuse.I-of-N.csv of each shard. A line is added when all files of a
/// take are on disk; a run that ends well writes its list anew, in order, and a joining run takes over those of shards.
class ResultStore {
 public:
  /// Reads the lists that are there; lines that are damaged or cut off are passed over.
  ResultStore(std::string folder, const std::optional<Shard>& shard);

  /// The digest of the files that were written for this result, when it was measured from what `key` stands for.
  std::optional<std::string> files_digest(const std::string& result, const std::string& key) const;
  /// All files are written. From any thread. Throws WriteError.
  void add(const std::string& result, const std::string& key, const std::string& files_digest);
  /// Writes the list of these results alone. Throws WriteError.
  void finish(const std::vector<std::string>& results);

 private:
  struct Entry {
    std::string key, files_digest;
  };
  void read(const std::string& path);

  std::string folder_, path_;
  bool is_shard_;
  mutable std::mutex mutex_;
  std::unordered_map<std::string, Entry> entries_;
};

/// The lists of shards that lie in `folder`: names, in order.
std::vector<std::string> lists_of_shards(const std::string& folder);

/// SHA-256 over names, sizes and contents.
std::string digest_of(const std::vector<std::string>& names, const std::vector<std::string>& contents);

}  // namespace firmus::cli
