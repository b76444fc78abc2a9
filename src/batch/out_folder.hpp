// A folder of results. Files there that the program did not write are never overwritten: written.json lists those that
// it did.
#pragma once
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace firmus::batch {

/// Makes the folder `path` (mode 0700) and its parents where they are missing. Throws InputError, naming `option`, when
/// `path` is a file, WriteError when it cannot be made.
void make_folder(const std::string& option, const std::string& path);

class OutFolder {
 public:
  /// To be called before any work. `names` are the files that will be written, such as "results/ana.json". Makes the
  /// folders, enters the names in written.json, and removes partial files that a killed run left of them. Throws
  /// InputError when a file of such a name exists and is not in written.json, and WriteError.
  /// `edited` are names of files that the user edits too: they are in no list, and nothing is said of them.
  OutFolder(std::string path, const std::vector<std::string>& names, std::vector<std::string> edited = {});
  /// Any thread. Throws WriteError.
  void write(const std::string& name, std::string_view content);
  /// As `write`, but does nothing where the file has this content already, so that a run with nothing new does not wait
  /// for the disk.
  void update(const std::string& name, std::string_view content);
  const std::string& path() const { return path_; }
  /// Removes from written.json the names that this run entered and did not write. To be called when no thread writes
  /// any more: a file that appears later would count as somebody else's. Throws WriteError.
  void finish();

 private:
  std::string path_of(const std::string& name) const { return path_ + "/" + name; }
  std::set<std::string> read_list() const;  ///< by `display_name`, so that any name fits into JSON
  void write_list(const std::set<std::string>& names) const;
  void make_folders() const;
  void remove_abandoned() const;
  void require_own(const std::vector<std::string>& names, const std::set<std::string>& own) const;

  std::string path_;
  std::vector<std::string> names_, edited_;
};

}  // namespace firmus::batch
