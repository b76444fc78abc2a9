// What becomes of memory that is freed.
#pragma once

namespace firmus::cli {

/// Before any thread starts: memory that one take frees stays with the program for the next, instead of going back to
/// the kernel, which would hand it out again page by page, zeroed, and with one lock for all threads. On the takes of a
/// class that was a third of the time. Single blocks above 32 MiB, those of long takes, still go back. Where the C
/// library is not glibc this does nothing.
void keep_freed_memory();

}  // namespace firmus::cli
