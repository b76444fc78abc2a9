// A sound file's samples as a peer sees them: at the file's own rate, the first channel.
#pragma once
#include <string>
#include <vector>

namespace firmus::bench {

struct Sound {
  unsigned rate_hz = 0;
  std::vector<float> samples;
};
/// Throws std::runtime_error.
Sound read_sound(const std::string& path);

}  // namespace firmus::bench
