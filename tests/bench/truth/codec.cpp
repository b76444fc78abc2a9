// Encodes and decodes takes with ffmpeg.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "degrade.hpp"
#include "sound_files.hpp"

namespace firmus::truth {

using namespace support;
namespace {

struct Way {
  int rate_hz;  ///< that the phone records at
  const char* encoder;
  const char* options;
  const char* file;
};

Way way_of(Codec codec) {
  if (codec == Codec::opus_16k) return {48000, "libopus", "-c:a libopus -b:a 16k", "take.opus"};
  return {44100, "aac", "-c:a aac -b:a 32k", "take.m4a"};
}

/// Lag of `late` behind `before` in samples, measured on one second in the middle of the take.
std::ptrdiff_t lag_of(const std::vector<float>& before, const std::vector<float>& late, int rate_hz) {
  const std::ptrdiff_t most = rate_hz / 12, length = rate_hz, middle = static_cast<std::ptrdiff_t>(before.size()) / 2;
  std::ptrdiff_t best = 0;
  double best_sum = -1;
  for (std::ptrdiff_t lag = -most; lag <= most; ++lag) {
    float sum = 0;
    for (std::ptrdiff_t i = std::max(middle, most); i < middle + length; ++i) {
      if (i + lag >= static_cast<std::ptrdiff_t>(late.size()) || i >= static_cast<std::ptrdiff_t>(before.size())) break;
      sum += before[static_cast<std::size_t>(i)] * late[static_cast<std::size_t>(i + lag)];
    }
    if (sum <= best_sum) continue;
    best_sum = sum;
    best = lag;
  }
  return best;
}

}  // namespace

bool codec_is_there(Codec codec) {
  const std::string probe =
      fmt::format("ffmpeg -hide_banner -encoders 2>/dev/null | grep -q ' {} '", way_of(codec).encoder);
  return program_is_there("ffmpeg") && std::system(probe.c_str()) == 0;
}

void encode_and_decode(TruthTake& take, Codec codec) {
  const Way way = way_of(codec);
  resample(take, way.rate_hz);
  const ScratchFolder scratch;
  write_wav(scratch.file("take.wav"), take.samples, take.rate_hz);
  run(fmt::format("ffmpeg -v error -i '{}' {} '{}'", scratch.file("take.wav"), way.options, scratch.file(way.file)));
  run(fmt::format("ffmpeg -v error -i '{}' -ar {} '{}'", scratch.file(way.file), way.rate_hz,
                  scratch.file("back.wav")));
  std::vector<float> back = read_sound(scratch.file("back.wav")).samples;
  const std::ptrdiff_t lag = lag_of(take.samples, back, take.rate_hz);
  if (lag > 0) back.erase(back.begin(), back.begin() + lag);
  if (lag < 0) back.insert(back.begin(), static_cast<std::size_t>(-lag), 0.0F);
  take.samples = std::move(back);
}

}  // namespace firmus::truth
