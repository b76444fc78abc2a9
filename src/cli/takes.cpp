#include "takes.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <system_error>

#include "arguments.hpp"
#include "base/ascii.hpp"
#include "batch/folder_takes.hpp"
#include "firmus/error.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

constexpr std::size_t largest_takes_list_bytes = 16 << 20;

[[noreturn]] void bad_list(const std::string& list, std::string what, std::string remedy) {
  throw InputError(Problem{{list == "-" ? "standard input" : list}, std::move(what), std::move(remedy)});
}

std::string read_whole(const std::string& list) {
  std::error_code error;
  if (list != "-" && std::filesystem::exists(list, error) && !std::filesystem::is_regular_file(list, error))
    bad_list(list, "is not a regular file", "give a text file with one path a line");
  using Closer = int (*)(std::FILE*);
  const std::unique_ptr<std::FILE, Closer> file(list == "-" ? stdin : std::fopen(list.c_str(), "rb"),
                                                list == "-" ? Closer([](std::FILE*) { return 0; }) : &std::fclose);
  if (!file) bad_list(list, "cannot be read: " + std::generic_category().message(errno), "check the name");
  std::string text;
  char block[1 << 16];
  while (const std::size_t count = std::fread(block, 1, sizeof block, file.get())) {
    text.append(block, count);
    if (text.size() > largest_takes_list_bytes) bad_list(list, "is over 16 MiB", "give a list of paths, one a line");
  }
  if (std::ferror(file.get())) bad_list(list, "cannot be read: " + std::generic_category().message(errno), "");
  return text;
}

/// One path a line; LF or CRLF; empty lines are skipped.
std::vector<std::string> paths_of(const std::string& list, std::string_view text) {
  if (text.find('\0') != std::string_view::npos) bad_list(list, "is not text", "give a text file with one path a line");
  std::vector<std::string> paths;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (!line.empty()) paths.emplace_back(line);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return paths;
}

void require_one_stream(const std::vector<std::string>& takes, const std::optional<std::string>& list) {
  int uses = list == "-" ? 1 : 0;
  for (const std::string& take : takes) uses += take == "-" ? 1 : 0;
  if (uses > 1) usage_error("standard input (-) is used more than once", "use it for one take or for the list");
}

bool is_named_as_melody(const std::string& path) {
  constexpr std::array<std::string_view, 6> endings{".melody", ".mid", ".midi", ".musicxml", ".mxl", ".abc"};
  const std::string ending = lower_ascii(std::filesystem::path(path).extension().string());
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

bool reads_as_melody(const std::string& path, const LineChoice& line) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error)) return false;
  if (is_named_as_melody(path)) return true;
  // So that recordings without a melody are not all read twice.
  constexpr std::uintmax_t largest_unnamed_melody_bytes = 1 << 20;
  if (std::filesystem::file_size(path, error) > largest_unnamed_melody_bytes) return false;
  try {
    (void)read_melody_file(path, line);
    return true;
  } catch (const InputError&) {
    return false;  // a recording, or what is told of as one
  }
}

}  // namespace

std::optional<std::string> take_out_melody(std::vector<std::string>& named, const LineChoice& line) {
  if (named.size() < 2) return std::nullopt;
  std::vector<std::string> takes;
  std::optional<std::string> melody;
  for (std::string& name : named) {
    if (!reads_as_melody(name, line)) {
      takes.push_back(std::move(name));
      continue;
    }
    if (melody) usage_error("\"" + *melody + "\" and \"" + name + "\" are both melodies", "give one melody");
    melody = std::move(name);
  }
  named = std::move(takes);
  return melody;
}

std::vector<std::string> with_folders_opened(const std::vector<std::string>& takes, const std::string& melody) {
  std::vector<std::string> opened;
  for (const std::string& take : takes) {
    std::error_code error;
    std::vector<std::string> names;
    if (std::filesystem::is_directory(take, error)) names = batch::names_in(take, {melody}, batch::NonAudioFiles::skip);
    for (const std::string& name : names) opened.push_back((std::filesystem::path(take) / name).string());
    if (names.empty()) opened.push_back(take);
  }
  return opened;
}

std::vector<std::string> collect_takes(const std::vector<std::string>& named, const std::optional<std::string>& list) {
  std::vector<std::string> takes;
  for (const std::string& take : named) takes.push_back(path_value("TAKE", take));
  if (list)
    for (std::string& take : paths_of(*list, read_whole(path_value("--takes-from", *list))))
      takes.push_back(std::move(take));
  require_one_stream(takes, list);
  if (takes.empty()) usage_error("no recording is named", "write firmus check TAKE... --melody FILE");
  return takes;
}

}  // namespace firmus::cli
