#include "find_results.hpp"

#include <algorithm>
#include <filesystem>
#include <set>
#include <system_error>

#include "base/input_file.hpp"
#include "firmus/read_result.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;

constexpr InputKind result_kind{"result", 16 << 20};

/// Whether a text is meant to be a result, damaged or not: it has `"schema": "firmus.take/1"` anywhere.
bool claims_to_be_result(std::string_view text) {
  constexpr std::string_view key = "\"schema\"", value = "\"firmus.take/1\"", between = ": \t\r\n";
  for (std::size_t at = text.find(key); at != std::string_view::npos; at = text.find(key, at + 1)) {
    const std::size_t next = text.find_first_not_of(between, at + key.size());
    if (next != std::string_view::npos && text.substr(next).starts_with(value)) return true;
  }
  return false;
}

[[noreturn]] void reject_folder(const std::string& path, const std::error_code& error) {
  throw InputError(Problem{{path, 0, 0}, "cannot be read: " + error.message(), "name a folder of results"});
}

/// The JSON files in a folder and below it, by path. Folders called `private` hold names of people.
std::vector<std::string> json_files_in(const std::string& folder) {
  std::vector<std::string> files;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, error);
  if (error) reject_folder(folder, error);
  for (; at != fs::recursive_directory_iterator(); at.increment(error)) {
    if (error) reject_folder(folder, error);
    std::error_code ignored;
    if (at->is_directory(ignored) && at->path().filename() == "private") at.disable_recursion_pending();
    if (at->path().extension() == ".json" && at->is_regular_file(ignored)) files.push_back(at->path().string());
  }
  std::sort(files.begin(), files.end());
  return files;
}

class Finder {
 public:
  void add_file(const std::string& path) { add(path, read_input_file(path, result_kind)); }

  void add_folder(const std::string& folder) {
    for (const std::string& path : json_files_in(folder)) try {
        const std::string text = read_input_file(path, result_kind);
        if (claims_to_be_result(text)) add(path, text);
      } catch (const InputError& error) {
        add_damaged(error);
      }
  }

  FoundResults found() && { return std::move(found_); }

 private:
  void add(const std::string& path, const std::string& text) {
    try {
      if (!seen_.insert(text).second) return;
      found_.takes.push_back({path, read_result(text, path)});
    } catch (const InputError& error) {
      add_damaged(error);
    }
  }
  void add_damaged(const InputError& error) {
    found_.damaged.insert(found_.damaged.end(), error.problems().begin(), error.problems().end());
  }

  FoundResults found_;
  std::set<std::string> seen_;  ///< contents
};

}  // namespace

Result read_result_file(const std::string& path) {
  return read_result(read_input_file(path, result_kind), path);
}

FoundResults find_results(const std::vector<std::string>& paths) {
  Finder finder;
  for (const std::string& path : paths) {
    std::error_code error;
    if (fs::is_directory(path, error)) {
      finder.add_folder(path);
    } else {
      finder.add_file(path);
    }
  }
  return std::move(finder).found();
}

}  // namespace firmus::batch
