#include "base/input_file.hpp"

#include <fmt/format.h>

#include <array>
#include <system_error>

#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus {
namespace {

[[noreturn]] void reject(const std::string& path, std::string what, std::string remedy) {
  throw InputError(Problem{{path, 0, 0}, std::move(what), std::move(remedy)});
}

std::string with_article(std::string_view name) {
  const bool vowel = !name.empty() && std::string_view("aeio").find(name.front()) != std::string_view::npos;
  return fmt::format("{} {}", vowel ? "an" : "a", name);
}

[[noreturn]] void refuse_unreadable(const std::string& path, const InputKind& kind, const std::error_code& error) {
  reject(path, fmt::format("cannot be read: {}", error.message()),
         fmt::format("name {} file", with_article(kind.name)));
}

std::string_view name_of_type(system::FileType type) {
  if (type == system::FileType::folder) return "a directory";
  if (type == system::FileType::pipe) return "a pipe";
  if (type == system::FileType::socket) return "a socket";
  return "a device";
}

void check_is_such_a_file(const std::string& path, const InputKind& kind, const system::FileStatus& status) {
  if (status.type != system::FileType::regular)
    reject(path, fmt::format("is {}, no {}", name_of_type(status.type), kind.name), "name a file");
  if (static_cast<std::size_t>(status.size_bytes) > kind.largest_bytes)
    reject(
        path,
        fmt::format("is larger than {} MiB, the most {} may have", kind.largest_bytes >> 20, with_article(kind.name)),
        "split it");
}

/// At most one block more than the file may have: the parsers refuse that in turn.
std::string read_bytes(const system::File& file, const std::string& path, const InputKind& kind) {
  std::string text;
  std::array<char, 1 << 16> block{};
  while (text.size() <= kind.largest_bytes) {
    std::error_code error;
    const std::size_t count = file.read(block, error);
    if (error) refuse_unreadable(path, kind, error);
    if (count == 0) break;
    text.append(block.data(), count);
  }
  return text;
}

}  // namespace

// Its status is checked before it is opened, since opening a device may have effects; and after, since another file may
// have taken its place.
std::string read_input_file(const std::string& path, const InputKind& kind) {
  std::error_code error;
  const system::FileStatus named = system::status_of(path, error);
  if (error) refuse_unreadable(path, kind, error);
  check_is_such_a_file(path, kind, named);
  const system::File file = system::File::open(path, system::OpenFor::reading, error);
  if (error) refuse_unreadable(path, kind, error);
  const system::FileStatus opened = file.status(error);
  if (error) refuse_unreadable(path, kind, error);
  check_is_such_a_file(path, kind, opened);
  return read_bytes(file, path, kind);
}

}  // namespace firmus
