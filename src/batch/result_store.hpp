// Results of earlier runs and what they were measured from, so that a run measures only what changed.
#pragma once
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "firmus/batch.hpp"

namespace firmus::batch {

/// The lists are in `folder` (private/): reuse.csv, and reuse.I-of-N.csv of each shard. A line is added when all files
/// of a take are written. A run that is not interrupted rewrites its list in order; a run without --shard takes over
/// the lists of shards and removes them.
class ResultStore {
 public:
  /// Reads the lists that exist; skips lines that are damaged or cut off.
  ResultStore(std::string folder, const std::optional<Shard>& shard);

  /// The digest of the files of this result; nullopt when there is none, or when it was measured under another key.
  std::optional<std::string> files_digest(const std::string& result, const std::string& key) const;
  /// To be called when all files are written. Any thread. Throws WriteError.
  void add(const std::string& result, const std::string& key, const std::string& files_digest);
  /// Rewrites the list with these results only. Throws WriteError.
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

/// The names of the lists of shards in `folder`, sorted.
std::vector<std::string> lists_of_shards(const std::string& folder);

/// SHA-256 over names, sizes and contents.
std::string digest_of(const std::vector<std::string>& names, const std::vector<std::string>& contents);

}  // namespace firmus::batch
