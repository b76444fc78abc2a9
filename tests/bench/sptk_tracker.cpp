// The command `pitch` of the Speech Signal Processing Toolkit: raw floats in, f0 out.
#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

namespace fs = std::filesystem;
constexpr int hop_samples = 220;
constexpr float full_scale = 32768;  // it expects the values of 16-bit samples

Track run_sptk(int algorithm, std::span<const float> samples) {
  const fs::path in = fs::temp_directory_path() / fmt::format("firmus-bench-{}.raw", std::rand());
  {
    std::ofstream file(in, std::ios::binary);
    for (const float sample : samples) {
      const float scaled = sample * full_scale;
      file.write(reinterpret_cast<const char*>(&scaled), sizeof scaled);
    }
  }
  const std::string command = fmt::format("sptk pitch -a {} -s {} -p {} -L {} -H {} -o 1 {}", algorithm,
                                          tone_rate_hz / 1000.0, hop_samples, lowest_hz, highest_hz, in.string());
  std::FILE* out = popen(command.c_str(), "r");
  if (!out) throw std::runtime_error("cannot run sptk");
  Track track{static_cast<double>(hop_samples) / tone_rate_hz, {}};
  float hz = 0;
  while (std::fread(&hz, sizeof hz, 1, out) == 1) track.f0_hz.push_back(static_cast<double>(hz));
  pclose(out);
  fs::remove(in);
  return track;
}

}  // namespace

std::vector<Tracker> sptk_trackers() {
  if (std::system("command -v sptk >/dev/null") != 0) return {};
  return {{"SPTK RAPT", false, [](std::span<const float> samples) { return run_sptk(0, samples); }},
          {"SPTK SWIPE'", false, [](std::span<const float> samples) { return run_sptk(1, samples); }}};
}

}  // namespace firmus::bench
