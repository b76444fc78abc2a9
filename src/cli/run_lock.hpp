// Which runs may work in one folder at a time: different shards of one N side by side; else one.
#pragma once
#include <optional>
#include <string>

namespace firmus::cli {

struct Shard {
  int number = 1, of = 1;
};

class RunLock {
 public:
  /// `folder` is where the locks lie; it is made. Throws InputError naming host and process of the run that is in the
  /// way, WriteError when no lock can be written. A lock whose process is gone (same host) is taken over.
  RunLock(const std::string& folder, const std::optional<Shard>& shard);
  ~RunLock() { release(); }
  RunLock(const RunLock&) = delete;
  RunLock& operator=(const RunLock&) = delete;
  void release();

 private:
  std::string path_;
};

}  // namespace firmus::cli
