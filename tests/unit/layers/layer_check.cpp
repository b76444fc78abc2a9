#include "layer_check.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <optional>
#include <set>
#include <sstream>

namespace firmus::layers {
namespace {

// The order in which the data runs. "facts" are the plain structs of include/firmus that the stages from `evidence` on
// share; "main" is main.cpp.
constexpr std::array<std::string_view, 24> stage_order = {
    "base",   "theory", "score",   "melody",  "audio",   "room",   "facts",    "evidence",
    "pitch",  "onsets", "sources", "decode",  "measure", "habits", "practice", "take",
    "studio", "trend",  "report",  "picture", "page",    "batch",  "cli",      "main"};

struct Named {
  std::string_view name, stage;
};
// Public headers whose name differs from that of their stage.
constexpr auto shared_headers = std::to_array<Named>({
    {"error", "base"},
    {"quantities", "base"},
    {"enum_names", "base"},
    {"rhythm", "theory"},
    {"signal_quality", "audio"},
    {"sound_writer", "audio"},
    {"result", "facts"},
    {"tone", "practice"},
    {"read_result", "report"},
    {"since", "trend"},
    {"grading", "studio"},
});
// Headers in src/STAGE that later stages may include, as "STAGE/NAME.hpp", beside the door "STAGE/STAGE.hpp". All of
// base is open.
constexpr auto doors = std::to_array<Named>({
    {"spill_buffer", "audio"},
    {"fft_planner", "room"},
    {"pair_fft", "evidence"},
    {"filtered_frames", "evidence"},
    {"group_names", "habits"},
    {"ar1_whitening", "habits"},
    {"spelling", "practice"},
    {"cell", "report"},
    {"words", "report"},
    {"text_page", "report"},
    {"practice_words", "report"},
    {"mark_words", "report"},
    {"trend_words", "report"},
    {"out_folder", "batch"},
    {"find_results", "batch"},
    {"folder_takes", "batch"},
});
// Offline tools: they may use the stages up to one of them, read their own options, and see the private headers of the
// one stage that they serve; nothing may use them.
constexpr std::array<Named, 1> offline_tools = {{{"fit", "onsets"}}};
constexpr std::array<Named, 1> served_stages = {{{"fit", "onsets"}}};

struct Owned {
  std::string_view include_prefix, stage;
};
// A library that two stages share has two rows.
constexpr std::array<Owned, 7> outside_libraries = {{{"utf8proc", "studio"},
                                                     {"pugixml", "score"},
                                                     {"zip.h", "score"},
                                                     {"sndfile", "audio"},
                                                     {"fftw3", "room"},
                                                     {"fftw3", "evidence"},
                                                     {"CLI/", "cli"}}};

// Headers of the operating system, in addition to all of <sys/...>: allowed in one folder, so that a port changes that
// folder only.
constexpr std::string_view system_folder = "src/base/system";
constexpr auto system_headers = std::to_array<std::string_view>(
    {"dirent.h", "dlfcn.h", "fcntl.h", "malloc.h", "poll.h", "pthread.h", "pwd.h", "sched.h", "semaphore.h", "signal.h",
     "spawn.h", "strings.h", "termios.h", "unistd.h", "windows.h"});

std::optional<int> level_of(std::string_view stage) {
  const auto found = std::find(stage_order.begin(), stage_order.end(), stage);
  if (found == stage_order.end()) return std::nullopt;
  return static_cast<int>(found - stage_order.begin());
}

template <typename Table>
std::optional<std::string_view> look_up(const Table& table, std::string_view name) {
  for (const Named& row : table) {
    if (row.name == name) return row.stage;
  }
  return std::nullopt;
}

std::optional<int> level_of_header(std::string_view stem) {
  return level_of(look_up(shared_headers, stem).value_or(stem));
}

struct Room {
  std::string folder;  // "src/audio", "include/firmus", "src" for main.cpp
  std::string stage;   // whose code this is
  std::optional<int> level;
  bool is_system = false;  // may call the operating system
};

Room room_of(const std::string& path) {
  const std::filesystem::path p(path);
  const std::string folder = p.parent_path().generic_string();
  if (folder == "include/firmus") return {folder, p.stem().string(), level_of_header(p.stem().string())};
  if (folder == "src") return {folder, p.stem().string(), level_of(p.stem().string())};
  const std::string stage = std::next(p.begin())->string();
  return {"src/" + stage, stage, level_of(look_up(offline_tools, stage).value_or(stage)), folder == system_folder};
}

struct Include {
  int line = 0;
  bool quoted = false;
  std::string target;
};

std::vector<Include> includes_of(std::string_view text) {
  std::vector<Include> found;
  std::istringstream lines{std::string(text)};
  std::string line;
  for (int number = 1; std::getline(lines, line); ++number) {
    const auto hash = line.find_first_not_of(" \t");
    if (hash == std::string::npos || line[hash] != '#') continue;
    const auto word = line.find_first_not_of(" \t", hash + 1);
    if (word == std::string::npos || line.compare(word, 7, "include") != 0) continue;
    const auto open = line.find_first_of("<\"", word + 7);
    if (open == std::string::npos) continue;
    const auto close = line.find_first_of(">\"", open + 1);
    if (close == std::string::npos) continue;
    found.push_back({number, line[open] == '"', line.substr(open + 1, close - open - 1)});
  }
  return found;
}

std::optional<std::string> fault_of_stage_header(const Room& room, const std::string& target) {
  const std::string stem = std::filesystem::path(target).stem().string();
  const auto level = level_of_header(stem);
  if (!level) return "\"" + target + "\" belongs to no stage";
  if (*level > room.level.value()) return room.stage + " stands before " + stem;
  return std::nullopt;
}

std::optional<std::string> fault_of_outside_library(const Room& room, const std::string& target) {
  std::vector<std::string> owners;
  for (const Owned& library : outside_libraries) {
    if (target.rfind(library.include_prefix, 0) != 0) continue;
    if (room.stage == library.stage || (library.stage == "cli" && look_up(offline_tools, room.stage)))
      return std::nullopt;
    owners.emplace_back(library.stage);
  }
  if (owners.size() == 1) return "<" + target + "> is for " + owners[0] + " alone";
  if (owners.size() == 2) return "<" + target + "> is for " + owners[0] + " and " + owners[1] + " alone";
  return std::nullopt;
}

std::optional<std::string> fault_of_system_header(const Room& room, const std::string& target) {
  const bool named = std::find(system_headers.begin(), system_headers.end(), target) != system_headers.end();
  if (room.is_system || (!named && target.rfind("sys/", 0) != 0)) return std::nullopt;
  return "<" + target + "> is for " + std::string(system_folder) + " alone";
}

bool is_door(const std::string& stage, const std::string& stem) {
  if (stage == "base" || stem == stage) return true;
  return std::any_of(doors.begin(), doors.end(),
                     [&](const Named& door) { return door.stage == stage && door.name == stem; });
}

// "STAGE/NAME.hpp", "base/system/NAME.hpp": a header in src, named from there.
std::optional<std::string> fault_of_door(const Room& room, const std::filesystem::path& target) {
  const std::string stage = target.begin()->string();
  const auto level = level_of(stage);
  if (!level) return "\"" + target.generic_string() + "\" belongs to no stage";
  if (*level > room.level.value()) return room.stage + " stands before " + stage;
  if (stage != room.stage && !is_door(stage, target.stem().string()))
    return "\"" + target.generic_string() + "\" is private to " + stage;
  return std::nullopt;
}

// The result of a take is plain data that any program can use: it must not include the pipeline that fills it.
constexpr std::array<std::string_view, 3> result_includes = {"melody", "signal_quality", "enum_names"};

bool draws_in_the_pipeline(const Room& room, const Include& include) {
  if (room.folder != "include/firmus" || room.stage != "result") return false;
  if (include.target.find('/') == std::string::npos && !include.quoted) return false;  // the standard library
  return include.target.rfind("firmus/", 0) != 0 ||
         std::find(result_includes.begin(), result_includes.end(),
                   std::filesystem::path(include.target).stem().string()) == result_includes.end();
}

std::optional<std::string> fault_of(const Room& room, const Include& include, const std::set<std::string>& paths) {
  if (draws_in_the_pipeline(room, include)) return "result.hpp may not include \"" + include.target + "\"";
  if (include.target.rfind("firmus/", 0) == 0) return fault_of_stage_header(room, include.target);
  if (auto fault = fault_of_outside_library(room, include.target)) return fault;
  if (auto fault = fault_of_system_header(room, include.target)) return fault;
  const std::filesystem::path target(include.target);
  if (include.quoted && std::distance(target.begin(), target.end()) >= 2 && *target.begin() != "..")
    return fault_of_door(room, target);
  const bool made_by_the_build = std::filesystem::path(include.target).extension() == ".inc";
  const auto served = look_up(served_stages, room.stage);
  const bool of_served = served && paths.count("src/" + std::string(*served) + "/" + include.target) > 0;
  if (include.quoted && !made_by_the_build && !of_served && paths.count(room.folder + "/" + include.target) == 0) {
    return "\"" + include.target + "\" is no file of " + room.folder;
  }
  return std::nullopt;
}

}  // namespace

std::vector<std::string> wrong_includes(const std::vector<SourceFile>& files) {
  std::set<std::string> paths;
  for (const SourceFile& file : files) paths.insert(file.path);
  std::vector<std::string> findings;
  for (const SourceFile& file : files) {
    const Room room = room_of(file.path);
    if (!room.level) {
      findings.push_back(file.path + ": \"" + room.stage + "\" is in no place of the order");
      continue;
    }
    for (const Include& include : includes_of(file.text)) {
      if (const auto fault = fault_of(room, include, paths)) {
        findings.push_back(file.path + ":" + std::to_string(include.line) + ": " + *fault);
      }
    }
  }
  return findings;
}

std::vector<std::string> public_header_faults(const std::vector<SourceFile>& files) {
  constexpr auto compiler_words = std::to_array<std::string_view>(
      {"__attribute__", "__declspec", "__builtin_", "[[gnu::", "[[clang::", "[[msvc::", "#pragma GCC", "#pragma omp"});
  std::vector<std::string> findings;
  for (const SourceFile& file : files) {
    if (!file.path.starts_with("include/")) continue;
    for (const Include& include : includes_of(file.text)) {
      const bool own = include.target.starts_with("firmus/");
      const bool standard = include.target.find_first_of("/.") == std::string::npos;
      if (!own && !standard)
        findings.push_back(file.path + ":" + std::to_string(include.line) + ": includes " + include.target);
    }
    for (const std::string_view word : compiler_words)
      if (file.text.find(word) != std::string::npos) findings.push_back(file.path + ": has " + std::string(word));
  }
  return findings;
}

std::vector<std::string> stages_without_version(std::string_view list) {
  constexpr std::string_view opening = "set(measuring_stages ";
  const std::size_t begin = list.find(opening);
  std::set<std::string> listed;
  if (begin != std::string_view::npos) {
    const std::string_view names = list.substr(begin + opening.size());
    std::istringstream words{std::string(names.substr(0, names.find(')')))};
    for (std::string word; words >> word;) listed.insert(word);
  }
  std::vector<std::string> missing;
  for (const std::string_view stage : stage_order) {
    // The public headers, "facts" among them, all take part.
    if (stage != "facts" && !listed.contains(std::string(stage))) missing.emplace_back(stage);
    if (stage == "take") break;
  }
  return missing;
}

std::vector<SourceFile> read_sources(const std::string& root) {
  namespace fs = std::filesystem;
  std::vector<SourceFile> files;
  for (const char* folder : {"include/firmus", "src"}) {
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(root) / folder)) {
      const auto extension = entry.path().extension();
      const bool is_source = extension == ".cpp" || extension == ".hpp" || extension == ".inc";
      if (!entry.is_regular_file() || !is_source) continue;
      std::ostringstream text;
      text << std::ifstream(entry.path(), std::ios::binary).rdbuf();
      files.push_back({fs::relative(entry.path(), root).generic_string(), text.str()});
    }
  }
  std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
  return files;
}

}  // namespace firmus::layers
