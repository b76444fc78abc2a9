// Consumes one channel at the file's rate, block by block; produces samples at the analysis rate and the signal
// quality.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "clip_meter.hpp"
#include "firmus/audio.hpp"
#include "resample.hpp"
#include "spill_buffer.hpp"

namespace firmus::audio {

class RecordingBuilder {
 public:
  /// `expected_frames`: number for which memory is reserved; there may be more or fewer. `quantum` as in ClipMeter.
  RecordingBuilder(int rate_hz, std::int64_t expected_frames, double quantum);

  /// Changes the block: invalid values become 0.
  void add(std::span<float> block);
  std::int64_t frames() const { return frames_; }
  /// Sets duration, samples and signal quality of `take`; keeps its earlier warnings. A silent recording gets a
  /// warning.
  void finish(Recording& take);

 private:
  int rate_hz_;
  std::int64_t frames_ = 0, bad_samples_ = 0;
  ClipMeter clip_meter_;
  Resampler resampler_;
  SpillBuffer samples_;
};

/// Throws TakeError (rate, channels) unless both are within the limits.
void require_usable(int rate_hz, int channels);

/// Adds the warning for channels in opposite phase when `correlation` (-1 to 1) is low enough.
void warn_of_opposite_phase(double correlation, Recording& take);

}  // namespace firmus::audio
