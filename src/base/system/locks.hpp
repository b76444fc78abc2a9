// Locks between processes.
#pragma once
#include <string>

#include "base/system/files.hpp"

namespace firmus::system {

/// While one process holds the lock of a folder, others wait in the constructor. Meant to be held for moments. Has no
/// effect where the folder cannot be opened or the file system has no such locks (flock(2)).
class FolderLock {
 public:
  explicit FolderLock(const std::string& folder);

 private:
  File folder_;
};

}  // namespace firmus::system
