// Private to base/system: streams held whole in memory.
#pragma once
#include <cstdint>
#include <optional>
#include <string>

#include "base/system/files.hpp"

namespace firmus::system {

/// The rest of a stream; nullopt when it is longer than `most_bytes`. Throws std::system_error when reading fails.
std::optional<std::string> read_to_end(const File& stream, std::int64_t most_bytes);

}  // namespace firmus::system
