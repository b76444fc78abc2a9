#include "folder_takes.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <set>
#include <string_view>

#include "firmus/error.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;

bool has_other_extension(const fs::path& path) {
  constexpr std::array<std::string_view, 10> endings{".melody", ".csv",      ".json", ".txt",  ".md",
                                                     ".mid",    ".musicxml", ".mxl",  ".html", ".pdf"};
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

/// Names of those inputs that are in `folder`.
std::set<std::string> inputs_in(const std::string& folder, const std::vector<std::string>& inputs) {
  std::set<std::string> names;
  std::error_code error;
  for (const std::string& input : inputs) {
    const fs::path parent = fs::path(input).parent_path();
    if (fs::equivalent(parent.empty() ? fs::path(".") : parent, folder, error))
      names.insert(fs::path(input).filename().string());
  }
  return names;
}

}  // namespace

std::vector<std::string> names_in(const std::string& folder, const std::vector<std::string>& inputs,
                                  NonAudioFiles non_audio) {
  const std::set<std::string> known = inputs_in(folder, inputs);
  std::vector<std::string> names;
  std::error_code error;
  fs::directory_iterator at(folder, error);
  for (; !error && at != fs::directory_iterator(); at.increment(error)) {
    const fs::path& path = at->path();
    std::string name = path.filename().string();
    std::error_code ignored;
    if (name.starts_with('.') || known.contains(name) || fs::is_directory(path, ignored)) continue;
    if (non_audio == NonAudioFiles::skip && has_other_extension(path)) continue;
    names.push_back(std::move(name));
  }
  if (error)
    throw InputError(
        Problem{{folder}, "cannot be read as a folder: " + error.message(), "give the folder of the takes"});
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace firmus::batch
