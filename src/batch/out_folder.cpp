#include "out_folder.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <system_error>

#include "base/base.hpp"
#include "base/file_content.hpp"
#include "base/partial_files.hpp"
#include "base/system/files.hpp"
#include "base/system/locks.hpp"
#include "firmus/error.hpp"

namespace firmus::batch {
namespace {

namespace fs = std::filesystem;
constexpr const char* written_list_name = "written.json";
constexpr const char* list_schema = "firmus.written/1";
constexpr std::uintmax_t largest_list_bytes = 16 << 20;

[[noreturn]] void fail_to_make(const std::string& path, const std::error_code& error) {
  throw WriteError(fmt::format("{}: cannot be made: {}", display_name(path), error.message()));
}

[[noreturn]] void reject_list(const std::string& path) {
  throw InputError(
      Problem{{path}, "is not a list of what the program wrote", "choose another --out, or move this file away"});
}

}  // namespace

void make_folder(const std::string& option, const std::string& path) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (fs::is_directory(status)) return;
  if (fs::exists(status))
    throw InputError(
        Problem{{}, fmt::format("{}: \"{}\" is a file", option, path), "name a folder, new or there already"});
  error.clear();  // that nothing is there yet is no error
  std::string plain = path;
  while (plain.size() > 1 && plain.back() == '/') plain.pop_back();
  const fs::path parent = fs::path(plain).parent_path();
  if (!parent.empty()) fs::create_directories(parent, error);
  if (error) fail_to_make(path, error);
  error = system::make_private_folder(plain);
  if (error) fail_to_make(path, error);
}

OutFolder::OutFolder(std::string path, const std::vector<std::string>& names, std::vector<std::string> edited)
    : path_(std::move(path)), names_(names), edited_(std::move(edited)) {
  make_folder("--out", path_);
  const system::FolderLock lock(path_);
  std::set<std::string> own = read_list();
  require_own(names, own);
  make_folders();
  remove_abandoned();
  for (const std::string& name : names) own.insert(display_name(name));
  write_list(own);
}

void OutFolder::make_folders() const {
  std::set<std::string> folders;
  for (const std::string& name : names_)
    if (const std::size_t slash = name.rfind('/'); slash != std::string::npos) folders.insert(name.substr(0, slash));
  for (const std::string& folder : folders) make_folder("--out", path_of(folder));
}

void OutFolder::remove_abandoned() const {
  std::set<std::string> known(names_.begin(), names_.end()), folders{""};
  known.insert(edited_.begin(), edited_.end());
  known.insert(written_list_name);
  for (const std::string& name : names_)
    if (const std::size_t slash = name.rfind('/'); slash != std::string::npos)
      folders.insert(name.substr(0, slash + 1));
  for (const std::string& folder : folders)
    remove_abandoned_files(path_of(folder), [&](const std::string& name) { return known.contains(folder + name); });
}

void OutFolder::write(const std::string& name, std::string_view content) {
  write_whole_file(path_of(name), content);
}

void OutFolder::update(const std::string& name, std::string_view content) {
  std::error_code error;
  const std::string path = path_of(name);
  if (fs::is_regular_file(path, error) && fs::file_size(path, error) == content.size()) {
    if (file_content(path) == content) return;
  }
  write(name, content);
}

void OutFolder::finish() {
  const system::FolderLock lock(path_);
  std::set<std::string> own = read_list();
  for (const std::string& name : names_)
    if (!system::name_exists(path_of(name))) own.erase(display_name(name));
  write_list(own);
}

std::set<std::string> OutFolder::read_list() const {
  const std::string path = path_of(written_list_name);
  if (!system::name_exists(path)) return {};
  std::error_code error;
  if (!fs::is_regular_file(path, error) || fs::file_size(path, error) > largest_list_bytes) reject_list(path);
  const std::string text = file_content(path).value_or("");
  const nlohmann::json list = nlohmann::json::parse(text, nullptr, false);
  if (!list.is_object() || list.value("schema", nlohmann::json()) != list_schema || !list.contains("files"))
    reject_list(path);
  std::set<std::string> names;
  for (const nlohmann::json& name : list["files"]) {
    if (!name.is_string()) reject_list(path);
    names.insert(name.get<std::string>());
  }
  return names;
}

void OutFolder::write_list(const std::set<std::string>& names) const {
  const nlohmann::ordered_json list = {{"schema", list_schema}, {"files", names}};
  write_whole_file(path_of(written_list_name), list.dump(1) + "\n");
}

void OutFolder::require_own(const std::vector<std::string>& names, const std::set<std::string>& own) const {
  for (const std::string& name : names)
    if (!own.contains(display_name(name)) && system::name_exists(path_of(name)))
      throw InputError(Problem{{path_of(name)},
                               "is there already and was not written by this program",
                               "choose another --out, or move the file away"});
}

}  // namespace firmus::batch
