#include "sound_files.hpp"

#include <fmt/format.h>
#include <sndfile.h>
#include <stdlib.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <memory>
#include <stdexcept>

namespace firmus::support {
namespace {

using File = std::unique_ptr<SNDFILE, int (*)(SNDFILE*)>;

void write_sound(const std::string& path, const std::vector<float>& samples, int rate_hz, int format) {
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = 1;
  info.format = format;
  const File file(sf_open(path.c_str(), SFM_WRITE, &info), sf_close);
  if (!file) throw std::runtime_error("cannot write " + path);
  sf_command(file.get(), SFC_SET_CLIPPING, nullptr, SF_TRUE);
  const auto count = static_cast<sf_count_t>(samples.size());
  if (sf_writef_float(file.get(), samples.data(), count) != count) throw std::runtime_error("cannot write " + path);
}

}  // namespace

bool program_is_there(const std::string& name) {
  return std::system(fmt::format("command -v {} >/dev/null 2>&1", name).c_str()) == 0;
}

void run(const std::string& command) {
  if (std::system((command + " >/dev/null 2>&1 </dev/null").c_str()) != 0)
    throw std::runtime_error("this command failed: " + command);
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

Sound read_sound(const std::string& path) {
  SF_INFO info{};
  const File file(sf_open(path.c_str(), SFM_READ, &info), sf_close);
  if (!file) throw std::runtime_error("cannot read " + path);
  std::vector<float> all(static_cast<std::size_t>(info.frames * info.channels));
  const auto frames =
      static_cast<std::size_t>(std::max<sf_count_t>(0, sf_readf_float(file.get(), all.data(), info.frames)));
  Sound sound{std::vector<float>(frames), info.samplerate};
  for (std::size_t i = 0; i < frames; ++i) sound.samples[i] = all[i * static_cast<std::size_t>(info.channels)];
  return sound;
}

void write_wav(const std::string& path, const std::vector<float>& samples, int rate_hz) {
  write_sound(path, samples, rate_hz, SF_FORMAT_WAV | SF_FORMAT_FLOAT);
}

void write_flac(const std::string& path, const std::vector<float>& samples, int rate_hz) {
  write_sound(path, samples, rate_hz, SF_FORMAT_FLAC | SF_FORMAT_PCM_16);
}

void write_bytes(const std::string& path, const std::string& bytes) {
  std::ofstream file(path, std::ios::binary);
  file << bytes;
  if (!file.flush()) throw std::runtime_error("cannot write " + path);
}

}  // namespace firmus::support
