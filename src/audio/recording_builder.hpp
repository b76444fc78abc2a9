// One channel at the file's rate goes in, block by block; samples at the analysis rate and the recording check come
// out.
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
  /// `expected_frames`: room is made for so many; more or fewer may come. `quantum` as in ClipMeter.
  RecordingBuilder(int rate_hz, std::int64_t expected_frames, double quantum);

  /// Changes the block: what is no number becomes 0.
  void add(std::span<float> block);
  std::int64_t frames() const { return frames_; }
  /// Fills in duration, samples and recording; the rest of `take` stays. A silent take gets a warning.
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

/// The warning for channels that run against each other; correlation -1 to 1.
void warn_of_opposite_phase(double correlation, Recording& take);

}  // namespace firmus::audio
