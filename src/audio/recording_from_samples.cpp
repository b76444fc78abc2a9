#include <algorithm>
#include <stdexcept>

#include "base/base.hpp"
#include "channel_choice.hpp"
#include "firmus/audio.hpp"
#include "recording_builder.hpp"

namespace firmus {
namespace audio {
namespace {

constexpr std::int64_t block_frames = 16384;
constexpr double float_quantum = 1.0 / 32768;  ///< the caller's values were most likely made from 16-bit samples

FrameReader reader_of(std::span<const float> interleaved, int channels) {
  return [=](std::int64_t begin, std::span<float> out) {
    const auto from = std::min(static_cast<std::size_t>(begin * channels), interleaved.size());
    const std::size_t count = std::min(out.size(), interleaved.size() - from);
    std::copy_n(interleaved.begin() + static_cast<std::ptrdiff_t>(from), count, out.begin());
    return static_cast<std::int64_t>(count) / channels;
  };
}

}  // namespace
}  // namespace audio

Recording recording_from_samples(std::string name, std::span<const float> interleaved, int channels, int rate_hz) {
  using namespace audio;
  require_usable(rate_hz, channels);
  Recording take;
  take.name = std::move(name);
  take.sha256 = sha256_hex({reinterpret_cast<const char*>(interleaved.data()), interleaved.size_bytes()});
  take.sample_rate_hz = rate_hz;
  take.channels = channels;
  const std::int64_t frames = static_cast<std::int64_t>(interleaved.size()) / channels;
  if (channels > 1 && frames > 0) {
    const ChannelChoice choice = choose_channel(reader_of(interleaved, channels), frames, channels, rate_hz);
    take.channel_used = choice.channel;
    if (choice.lowest_correlation) warn_of_opposite_phase(*choice.lowest_correlation, take);
  }
  RecordingBuilder builder(rate_hz, frames, float_quantum);
  std::vector<float> block;
  for (std::int64_t begin = 0; begin < frames; begin += block_frames) {
    block.resize(static_cast<std::size_t>(std::min(block_frames, frames - begin)));
    const float* value = interleaved.data() + begin * channels + take.channel_used;
    for (float& target : block) {
      target = *value;
      value += channels;
    }
    builder.add(block);
  }
  builder.finish(take);
  return take;
}

}  // namespace firmus
