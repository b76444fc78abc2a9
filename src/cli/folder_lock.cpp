#include "folder_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

namespace firmus::cli {

FolderLock::FolderLock(const std::string& folder) : fd_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
  if (fd_ >= 0) ::flock(fd_, LOCK_EX);
}

FolderLock::~FolderLock() {
  if (fd_ >= 0) ::close(fd_);
}

}  // namespace firmus::cli
