#include "base/file_content.hpp"

#include <fstream>
#include <iterator>
#include <utility>

namespace firmus {

std::optional<std::string> file_content(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) return std::nullopt;
  std::string content{std::istreambuf_iterator<char>(file), {}};
  return file.bad() ? std::nullopt : std::optional(std::move(content));
}

}  // namespace firmus
