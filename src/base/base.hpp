// General functions without any knowledge of music, for every stage: digests, safe display of names, atomic file
// writes, parallel loops.
#pragma once
#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

#include "base/utf8.hpp"

namespace firmus {

/// Lower-case hexadecimal SHA-256 (FIPS 180-4) of `bytes`.
std::string sha256_hex(std::string_view bytes);

/// Lower-case hexadecimal SHA-256 of a file's content, read in blocks. Throws std::system_error if it cannot be read.
std::string sha256_hex_of_file(const std::string& path);

/// `name` made safe for a terminal: control characters and bytes that are not UTF-8 become \xNN.
std::string display_name(std::string_view name);

/// Writes `content` under a temporary name beside `path`, flushes it to disk and renames it, so that nothing half
/// written is ever found under `path`. Throws WriteError naming the path and the system's reason.
void write_whole_file(const std::string& path, std::string_view content);

/// Runs work(0) to work(count - 1), each once and in any order, on up to `threads` threads including the calling one.
/// When some calls throw, the others still run; then the exception of the lowest index is rethrown.
void in_parallel(std::size_t count, int threads, const std::function<void(std::size_t)>& work);

}  // namespace firmus
