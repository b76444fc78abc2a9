#include "base/system/memory.hpp"

#include <cstdlib>  // so that __GLIBC__ is known

#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace firmus::system {

void tune_malloc() {
#ifdef __GLIBC__
  constexpr int largest_kept_block_bytes = 32 << 20;  // the most that glibc takes, on 64 bits: half an arena
  constexpr int kept_bytes = 64 << 20;                // of each arena: all of it
  ::mallopt(M_MMAP_THRESHOLD, largest_kept_block_bytes);
  ::mallopt(M_TRIM_THRESHOLD, kept_bytes);
#endif
}

}  // namespace firmus::system
