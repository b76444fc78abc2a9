#include "folder_takes.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <map>
#include <string_view>

#include "firmus/error.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;
constexpr int deepest_folder = 5;  // below that of the takes; one a student, one a piece are usual

bool has_other_extension(const fs::path& path) {
  constexpr std::array<std::string_view, 10> endings{".melody", ".csv",      ".json", ".txt",  ".md",
                                                     ".mid",    ".musicxml", ".mxl",  ".html", ".pdf"};
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

/// The inputs by the names of their files, so that only files of such a name are compared.
std::multimap<std::string, fs::path> by_file_name(const std::vector<std::string>& inputs) {
  std::multimap<std::string, fs::path> named;
  for (const std::string& input : inputs) named.emplace(fs::path(input).filename().string(), input);
  return named;
}

bool is_one_of(const std::multimap<std::string, fs::path>& inputs, const fs::path& path) {
  const auto [first, last] = inputs.equal_range(path.filename().string());
  return std::any_of(first, last, [&](const auto& input) {
    std::error_code error;
    return fs::equivalent(input.second, path, error);
  });
}

/// Hidden folders, what an archive keeps for one system alone, and folders of results.
bool is_passed_over(const fs::path& folder) {
  const std::string name = folder.filename().string();
  std::error_code error;
  return name.starts_with('.') || name == "__MACOSX" || fs::exists(folder / "written.json", error);
}

}  // namespace

std::vector<std::string> names_in(const std::string& folder, const std::vector<std::string>& inputs,
                                  NonAudioFiles non_audio) {
  const auto known = by_file_name(inputs);
  std::vector<std::string> names;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, error);
  for (; !error && at != fs::recursive_directory_iterator(); at.increment(error)) {
    const fs::path& path = at->path();
    std::error_code ignored;
    if (fs::is_directory(path, ignored)) {
      if (at.depth() >= deepest_folder || is_passed_over(path)) at.disable_recursion_pending();
      continue;
    }
    if (path.filename().string().starts_with('.') || is_one_of(known, path)) continue;
    if (non_audio == NonAudioFiles::skip && has_other_extension(path)) continue;
    names.push_back(path.lexically_relative(folder).generic_string());
  }
  if (error)
    throw InputError(
        Problem{{folder}, "cannot be read as a folder: " + error.message(), "give the folder of the takes"});
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace firmus::batch
