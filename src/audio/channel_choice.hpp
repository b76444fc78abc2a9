// Chooses the channel to measure. Channels are never summed: some phones record them in opposite phase, and the voice
// would cancel.
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <span>

namespace firmus::audio {

/// Reads frames from `begin` on into `interleaved` and returns their number. `begin` only increases from call to call.
using FrameReader = std::function<std::int64_t(std::int64_t begin, std::span<float> interleaved)>;

struct ChannelChoice {
  int channel = 0;
  /// Lowest correlation of the chosen channel with another one, -1 to 1; none when no other channel is within 20 dB of
  /// it.
  std::optional<double> lowest_correlation;
  std::optional<double> readable_share;  ///< share of the excerpts that could be read; none when not counted
};

/// Uses excerpts at equal distances over the recording. Of the channels less than 30 dB below the loudest, chooses the
/// one whose louder excerpts are most periodic; the first of equals.
ChannelChoice choose_channel(const FrameReader& read, std::int64_t frames, int channels, int rate_hz);

}  // namespace firmus::audio
