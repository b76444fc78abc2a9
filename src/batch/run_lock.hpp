// Which runs may work in one folder at the same time: different shards of the same number of parts; otherwise one.
#pragma once
#include <optional>
#include <string>

#include "firmus/batch.hpp"

namespace firmus::batch {

class RunLock {
 public:
  /// `folder` holds the locks; it is made where it is missing. A lock of a process of this host that has ended is
  /// removed. Throws InputError naming host and process of another run that works in the folder, WriteError when no
  /// lock can be written.
  RunLock(const std::string& folder, const std::optional<Shard>& shard);
  ~RunLock() { release(); }
  RunLock(const RunLock&) = delete;
  RunLock& operator=(const RunLock&) = delete;
  void release();

 private:
  std::string path_;
};

}  // namespace firmus::batch
