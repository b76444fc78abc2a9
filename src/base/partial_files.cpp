#include "base/partial_files.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>
#include <optional>
#include <system_error>

#include "base/system/processes.hpp"

namespace firmus {
namespace {

namespace fs = std::filesystem;

struct PartialFile {
  std::string name;  ///< of the finished file
  int process = 0;
};

std::optional<PartialFile> parse_partial_name(const std::string& file) {
  constexpr std::string_view ending = ".part";
  if (!file.ends_with(ending)) return std::nullopt;
  const std::string rest = file.substr(0, file.size() - ending.size());
  const std::size_t dot = rest.rfind('.');
  if (dot == std::string::npos) return std::nullopt;
  PartialFile partial{rest.substr(0, dot), 0};
  const auto [end, code] = std::from_chars(rest.data() + dot + 1, rest.data() + rest.size(), partial.process);
  if (code != std::errc() || end != rest.data() + rest.size() || partial.process <= 0) return std::nullopt;
  return partial;
}

}  // namespace

std::string partial_path(const std::string& path) {
  return fmt::format("{}.{}.part", path, system::process_id());
}

void remove_abandoned_files(const std::string& folder, const std::function<bool(const std::string& name)>& is_ours) {
  std::error_code error;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, error)) {
    const auto partial = parse_partial_name(entry.path().filename().string());
    if (partial && is_ours(partial->name) && system::has_ended(partial->process)) fs::remove(entry.path(), error);
  }
}

}  // namespace firmus
