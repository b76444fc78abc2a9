#include "sound.hpp"

#include <sndfile.h>

#include <stdexcept>

namespace firmus::bench {

Sound read_sound(const std::string& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.c_str(), SFM_READ, &info);
  if (!file) throw std::runtime_error("cannot read " + path);
  std::vector<float> all(static_cast<std::size_t>(info.frames * info.channels));
  const sf_count_t frames = sf_readf_float(file, all.data(), info.frames);
  sf_close(file);
  Sound sound{static_cast<unsigned>(info.samplerate), {}};
  for (sf_count_t i = 0; i < frames; ++i) sound.samples.push_back(all[static_cast<std::size_t>(i * info.channels)]);
  return sound;
}

}  // namespace firmus::bench
