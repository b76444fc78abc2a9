// Which takes a command measures.
#pragma once
#include <optional>
#include <string>
#include <vector>

namespace firmus::cli {

/// The takes of the command line, then those of the file `list` (one path a line; "-" is standard input). Throws
/// InputError: no takes, an empty name, standard input used twice, a list that cannot be read or is over 16 MiB.
std::vector<std::string> collect_takes(const std::vector<std::string>& named, const std::optional<std::string>& list);

}  // namespace firmus::cli
