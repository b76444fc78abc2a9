// From any rate to the analysis rate, in blocks: a polyphase bank of windowed-sinc filters (J. F. Kaiser's window;
// Crochiere & Rabiner, Multirate Digital Signal Processing, 1983). The ratio is the exact fraction, so nothing drifts;
// the filters are symmetric about each output's own instant, so time 0 stays time 0 and no frequency is delayed.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::audio {

/// Measured (tests/unit/audio/resample_test.cpp), 44.1 to 16 kHz: flat within 0.01 dB to 6.6 kHz and 0.15 dB to 7 kHz;
/// what would alias to below 6.6 kHz is 80 dB down. For a lower rate all edges scale with it.
class Resampler {
 public:
  explicit Resampler(int from_hz, int to_hz = Samples::rate_hz);

  /// Takes the next block of input; appends to `out` what can be computed by now.
  void add(std::span<const float> in, std::vector<float>& out);
  /// Appends what is left, as if the input went on with silence. In all ceil(inputs * to / from) values.
  void finish(std::vector<float>& out);

 private:
  void build_bank(double from_hz, double to_hz);
  void produce(std::int64_t end, std::vector<float>& out);

  std::int64_t up_ = 1;  ///< to / from, in lowest terms
  std::int64_t down_ = 1;
  std::int64_t half_ = 0;                   ///< taps on either side of an output's instant, a multiple of 4
  std::vector<float> bank_;                 ///< a row of 2 * half_ taps for each output of a cycle of up_, in order
  std::vector<std::int32_t> first_of_row_;  ///< where its inputs start, in inputs from the cycle's start
  std::vector<float> buffer_;               ///< input that is still needed
  std::int64_t buffer_begin_ = 0;           ///< input index of buffer_[0]
  std::int64_t inputs_ = 0;                 ///< taken so far
  std::int64_t outputs_ = 0;                ///< made so far
};

}  // namespace firmus::audio
