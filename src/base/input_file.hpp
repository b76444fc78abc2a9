// Files that somebody wrote for us: melodies, rosters, assignments.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace firmus {

/// What a file is to be, in problems: "is larger than 1 MiB, the most a melody may have".
struct InputKind {
  std::string_view name;      ///< "melody"
  std::size_t largest_bytes;  ///< whole MiB
};

/// The bytes of a regular file; more than `largest_bytes` of it are refused. Throws InputError at once for anything
/// else: a missing file, a directory, a pipe, a socket, a device.
std::string read_input_file(const std::string& path, const InputKind& kind);

}  // namespace firmus
