// Which channel of several to measure. Never their sum: phones record out of phase, and the voice would cancel.
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <span>

namespace firmus::audio {

/// Reads frames from `begin` on into `interleaved`; returns how many there were. Asked for in rising order, never
/// twice.
using FrameReader = std::function<std::int64_t(std::int64_t begin, std::span<float> interleaved)>;

struct ChannelChoice {
  int channel = 0;
  /// Correlation with the channel that runs most against the chosen one; none when no other channel is as loud.
  std::optional<double> lowest_correlation;
  std::optional<double> readable_share;  ///< of the excerpts asked for
};

/// Chooses by excerpts spread evenly over the take: of the channels that are nearly as loud as the loudest, the one
/// whose loud excerpts are most periodic. Equal ones: the first.
ChannelChoice choose_channel(const FrameReader& read, std::int64_t frames, int channels, int rate_hz);

}  // namespace firmus::audio
