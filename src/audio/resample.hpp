// Sample-rate conversion in blocks: a polyphase bank of windowed-sinc filters (J. F. Kaiser's window; Crochiere &
// Rabiner, Multirate Digital Signal Processing, 1983). The ratio is an exact fraction, so there is no drift; the
// filters are symmetric about the instant of each output sample, so they have no delay.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::audio {

/// Measured from 44.1 to 16 kHz (tests/unit/audio/resample_test.cpp): flat within 0.01 dB up to 6.6 kHz and 0.15 dB up
/// to 7 kHz; aliases below 6.6 kHz are attenuated by 80 dB. With a lower rate the band edges scale down.
class Resampler {
 public:
  explicit Resampler(int from_hz, int to_hz = Samples::rate_hz);

  /// Takes the next block of input and appends to `out` the output samples that can be computed.
  void add(std::span<const float> in, std::vector<float>& out);
  /// Appends the remaining output, as if silence followed the input: ceil(inputs * to / from) samples in all.
  void finish(std::vector<float>& out);

 private:
  void build_bank(double from_hz, double to_hz);
  void produce(std::int64_t end, std::vector<float>& out);

  std::int64_t up_ = 1;  ///< to / from, in lowest terms
  std::int64_t down_ = 1;
  std::int64_t half_ = 0;                   ///< taps on either side of an output's instant, a multiple of 4
  std::vector<float> bank_;                 ///< a row of 2 * half_ taps for each output of a cycle of up_, in order
  std::vector<std::int32_t> first_of_row_;  ///< first input of each row, counted from the start of the cycle
  std::vector<float> buffer_;               ///< input that is still needed
  std::int64_t buffer_begin_ = 0;           ///< input index of buffer_[0]
  std::int64_t inputs_ = 0;                 ///< taken so far
  std::int64_t outputs_ = 0;                ///< made so far
};

}  // namespace firmus::audio
