// The memory allocator of the C library.
#pragma once

namespace firmus::system {

/// To be called before any thread starts: freed memory stays with the program, for the next take, instead of going back
/// to the kernel, which would hand it out again page by page, zeroed, and under one lock for all threads. That took a
/// third of the time on the takes of a class. Blocks above 32 MiB, those of long takes, still go back. Has no effect
/// where the C library is not glibc.
void tune_malloc();

}  // namespace firmus::system
