#include "recording_builder.hpp"

#include <fmt/format.h>

#include "firmus/error.hpp"
#include "levels.hpp"
#include "sanitize.hpp"
#include "signal_quality.hpp"

namespace firmus::audio {
namespace {

constexpr int lowest_rate_hz = 8000, highest_rate_hz = 192000, channels_at_most = 64;
/// Channels with a lower correlation cancel each other in a mono mix.
constexpr double opposite_from_correlation = -0.5;

RecordingWarning silence_warning() {
  return {RecordingFault::silence, "there is no sound in the take: it is below -85 dBFS throughout",
          "check that the microphone was on and allowed for the recording program, then record again"};
}

}  // namespace

RecordingBuilder::RecordingBuilder(int rate_hz, std::int64_t expected_frames, double quantum)
    : rate_hz_(rate_hz), clip_meter_(quantum), resampler_(rate_hz) {
  // A header may declare any length: no more memory is reserved than samples are kept in memory.
  const double wanted = static_cast<double>(expected_frames) * Samples::rate_hz / rate_hz + 1;
  samples_.expect(static_cast<std::int64_t>(std::min(wanted, static_cast<double>(SpillBuffer::in_memory_at_most))));
}

void RecordingBuilder::add(std::span<float> block) {
  frames_ += static_cast<std::int64_t>(block.size());
  bad_samples_ += sanitize(block);
  clip_meter_.add(block);
  resampler_.add(block, samples_.tail());
  samples_.spill();
}

void RecordingBuilder::finish(Recording& take) {
  resampler_.finish(samples_.tail());
  take.samples = samples_.finish();
  take.duration_s = Seconds(static_cast<double>(frames_) / rate_hz_);
  const std::vector<double> levels = levels_dbfs(take.samples);
  const bool silent = is_silent(levels);
  std::vector<RecordingWarning> before = std::move(take.signal_quality.warnings);
  take.signal_quality = assess_signal_quality(take.samples, levels, {frames_, bad_samples_, clip_meter_.finish()});
  std::vector<RecordingWarning>& warnings = take.signal_quality.warnings;
  if (silent) {
    std::erase_if(warnings, [](const RecordingWarning& w) { return w.kind != RecordingFault::bad_samples; });
    warnings.insert(warnings.begin(), silence_warning());
  }
  warnings.insert(warnings.begin(), before.begin(), before.end());
}

void require_usable(int rate_hz, int channels) {
  if (rate_hz < lowest_rate_hz || rate_hz > highest_rate_hz)
    throw TakeError("rate", fmt::format("the sample rate is {} Hz; 8000 to 192000 can be measured", rate_hz),
                    "export the recording at 44100 or 48000 Hz");
  if (channels < 1 || channels > channels_at_most)
    throw TakeError("channels", fmt::format("the file has {} channels; 1 to 64 can be measured", channels),
                    "export the recording with one or two channels");
}

void warn_of_opposite_phase(double correlation, Recording& take) {
  if (correlation > opposite_from_correlation) return;
  take.signal_quality.warnings.push_back(
      {RecordingFault::opposite_phase,
       fmt::format("two channels run against each other (correlation {:.2f}); channel {} alone was measured",
                   correlation, take.channel_used + 1),
       "record in mono; do not mix this file down to mono, the voice would cancel out"});
}

}  // namespace firmus::audio
