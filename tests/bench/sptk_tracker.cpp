#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "resample_whole.hpp"
#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

namespace fs = std::filesystem;
constexpr double hop_s = 0.005;
constexpr float full_scale = 32768;  // it expects the values of 16-bit samples
/// RAPT is made for speech at this rate; at 44.1 kHz its errors of a steady tone are up to 20 cents instead of 1.
constexpr unsigned rapt_rate_hz = 16000;

void write_raw(const fs::path& path, std::span<const float> samples) {
  std::ofstream file(path, std::ios::binary);
  for (const float sample : samples) {
    const float scaled = sample * full_scale;
    file.write(reinterpret_cast<const char*>(&scaled), sizeof scaled);
  }
}

Track rapt_at_its_rate(std::span<const float> samples) {
  const std::size_t count = samples.size() * rapt_rate_hz / tone_rate_hz;
  return track_with_sptk(Sptk::rapt, resampled(samples, count), rapt_rate_hz, lowest_hz, highest_hz);
}

}  // namespace

Track track_with_sptk(Sptk algorithm, std::span<const float> samples, unsigned rate_hz, double from_hz, double to_hz) {
  const fs::path in = fs::temp_directory_path() / fmt::format("firmus-bench-{}.raw", getpid());
  write_raw(in, samples);
  const auto hop_samples = static_cast<int>(hop_s * rate_hz);
  const std::string command =
      fmt::format("sptk pitch -a {} -s {} -p {} -L {} -H {} -o 1 {}", algorithm == Sptk::rapt ? 0 : 1, rate_hz / 1000.0,
                  hop_samples, from_hz, to_hz, in.string());
  std::FILE* out = popen(command.c_str(), "r");
  if (!out) throw std::runtime_error("cannot run sptk");
  Track track{static_cast<double>(hop_samples) / rate_hz, {}};
  float hz = 0;
  while (std::fread(&hz, sizeof hz, 1, out) == 1) track.f0_hz.push_back(static_cast<double>(hz));
  pclose(out);
  fs::remove(in);
  return track;
}

bool sptk_is_there() {
  static const bool is_there = std::system("command -v sptk >/dev/null") == 0;
  return is_there;
}

std::vector<Tracker> sptk_trackers() {
  if (!sptk_is_there()) return {};
  return {{"RAPT, 16 kHz", false, rapt_at_its_rate}, {"SPTK SWIPE'", false, [](std::span<const float> samples) {
                                                        return track_with_sptk(Sptk::swipe, samples, tone_rate_hz,
                                                                               lowest_hz, highest_hz);
                                                      }}};
}

}  // namespace firmus::bench
