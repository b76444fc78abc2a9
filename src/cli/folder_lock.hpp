// While one process reads and changes what lies in a folder, another waits.
#pragma once
#include <string>

namespace firmus::cli {

/// Held for moments only. Where the file system has no such locks there is none.
class FolderLock {
 public:
  explicit FolderLock(const std::string& folder);
  ~FolderLock();
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;

 private:
  int fd_;
};

}  // namespace firmus::cli
