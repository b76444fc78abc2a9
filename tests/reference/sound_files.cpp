#include "sound_files.hpp"

#include <fmt/format.h>
#include <sndfile.h>
#include <stdlib.h>

#include <cstdlib>
#include <fstream>
#include <stdexcept>

namespace firmus::reference {

bool program_is_there(const std::string& name) {
  return std::system(fmt::format("command -v {} >/dev/null 2>&1", name).c_str()) == 0;
}

ScratchFolder::ScratchFolder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "firmus-test-XXXXXX").string();
  if (!mkdtemp(pattern.data())) throw std::runtime_error("cannot make a folder like " + pattern);
  path_ = pattern;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

void write_wav(const std::string& path, const std::vector<float>& samples, int rate_hz) {
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = 1;
  info.format = SF_FORMAT_WAV | SF_FORMAT_FLOAT;
  SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
  if (!file) throw std::runtime_error("cannot write " + path);
  const auto written = sf_writef_float(file, samples.data(), static_cast<sf_count_t>(samples.size()));
  sf_close(file);
  if (written != static_cast<sf_count_t>(samples.size())) throw std::runtime_error("cannot write " + path);
}

void write_bytes(const std::string& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary);
  file << bytes;
  if (!file.flush()) throw std::runtime_error("cannot write " + path);
}

}  // namespace firmus::reference
