// A folder of results. Files there that the program did not write are never overwritten: written.json lists its own.
#pragma once
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace firmus::cli {

/// Makes `path` (mode 0700) and its parents. Throws InputError when a file stands in its place, WriteError when it
/// cannot be made.
void make_folder(const std::string& option, const std::string& path);

class OutFolder {
 public:
  /// Before any work: makes the folder and the folders of `names` ("results/ana.json"), checks that no file called so
  /// is there that is not ours, notes that they are about to be ours, and clears away what a run that was killed had
  /// half written of them. Throws InputError and WriteError.
  OutFolder(std::string path, const std::vector<std::string>& names);
  /// From any thread. Throws WriteError.
  void write(const std::string& name, std::string_view content);
  /// As `write`, but a file that holds just this is left alone: a run with nothing new waits for no disk.
  void update(const std::string& name, std::string_view content);
  const std::string& path() const { return path_; }
  /// Takes out of written.json what this run announced and did not write. Throws WriteError.
  void finish();

 private:
  std::string path_of(const std::string& name) const { return path_ + "/" + name; }
  std::set<std::string> read_list() const;  ///< names as `display_name` shows them, so that any name fits into JSON
  void write_list(const std::set<std::string>& names) const;
  void make_folders() const;
  void remove_abandoned() const;
  void require_ours(const std::vector<std::string>& names, const std::set<std::string>& ours) const;

  std::string path_;
  std::vector<std::string> names_;
};

}  // namespace firmus::cli
