// Faults of a recording as a whole: level, noise, clipping, hum.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "clip_meter.hpp"
#include "firmus/audio.hpp"

namespace firmus::audio {

/// Counts made while the file was read, at the file's sample rate.
struct SampleCounts {
  std::int64_t frames = 0;
  std::int64_t bad_samples = 0;
  ClipMeter::Reading clipping;
};

/// Whether all windows are below -85 dBFS. `levels` as from levels_dbfs.
bool is_silent(std::span<const double> levels);

/// Level, noise floor, clipped share and the warnings clipping, low_level, noise, hum and bad_samples.
SignalQuality assess_signal_quality(const Samples& samples, std::span<const double> levels, const SampleCounts& counts);

}  // namespace firmus::audio
