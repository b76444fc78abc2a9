// Input files written by users: melodies, rosters, assignments.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>

namespace firmus {

/// The expected kind of a file, for problems: "is larger than 1 MiB, the most a melody may have".
struct InputKind {
  std::string_view name;      ///< "melody"
  std::size_t largest_bytes;  ///< whole MiB
};

/// The bytes of a regular file. Throws InputError for a file larger than `largest_bytes` and for anything else: a
/// missing file, a directory, a pipe, a socket, a device. Never blocks.
std::string read_input_file(const std::string& path, const InputKind& kind);

}  // namespace firmus
