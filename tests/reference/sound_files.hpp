// What the checks against other programs need: a folder that goes away, WAV files, and whether a program is there.
#pragma once
#include <filesystem>
#include <string>
#include <vector>

namespace firmus::reference {

bool program_is_there(const std::string& name);

/// A new folder under the system's temporary folder, removed with all that is in it.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  std::string file(const std::string& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

/// Mono, 32-bit float.
void write_wav(const std::string& path, const std::vector<float>& samples, int rate_hz);
void write_bytes(const std::string& path, const std::string& bytes);

}  // namespace firmus::reference
