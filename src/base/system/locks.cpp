#include "base/system/locks.hpp"

#include <fcntl.h>
#include <sys/file.h>

namespace firmus::system {

FolderLock::FolderLock(const std::string& folder)
    : folder_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
  if (folder_.is_open()) ::flock(folder_.descriptor(), LOCK_EX);
}

}  // namespace firmus::system
