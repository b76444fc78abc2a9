// Sound files, external programs and a temporary folder.
#pragma once
#include <filesystem>
#include <string>
#include <vector>

namespace firmus::support {

bool program_is_there(const std::string& name);
/// Runs a shell command and discards its output; throws std::runtime_error with the command when it fails.
void run(const std::string& command);

/// A new folder in the system's temporary folder; the destructor removes it with its content.
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

struct Sound {
  std::vector<float> samples;  ///< the first channel
  int rate_hz = 0;
};
Sound read_sound(const std::string& path);
void write_wav(const std::string& path, const std::vector<float>& samples, int rate_hz);   ///< 32-bit float
void write_flac(const std::string& path, const std::vector<float>& samples, int rate_hz);  ///< 16-bit

void write_bytes(const std::string& path, const std::string& bytes);

}  // namespace firmus::support
