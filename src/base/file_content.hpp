// Files that the program wrote itself; for files of others see input_file.hpp.
#pragma once
#include <optional>
#include <string>

namespace firmus {

/// All bytes of a file; nullopt when it cannot be read.
std::optional<std::string> file_content(const std::string& path);

}  // namespace firmus
