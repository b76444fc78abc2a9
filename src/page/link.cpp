#include "link.hpp"

#include <fmt/format.h>

#include <cctype>
#include <string_view>

namespace firmus::page {

std::string link_to(const std::string& student) {
  std::string link = "./";  // without it, "a:b" would be read as a scheme
  for (const char c : student + ".html") {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain =
        byte < 0x80 && (std::isalnum(byte) || std::string_view("-._~").find(c) != std::string_view::npos);
    link += plain ? std::string(1, c) : fmt::format("%{:02X}", byte);
  }
  return link;
}

}  // namespace firmus::page
