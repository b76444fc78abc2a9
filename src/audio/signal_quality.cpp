#include "signal_quality.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "hum.hpp"
#include "levels.hpp"

namespace firmus::audio {
namespace {

/// A recording below this level throughout is silence: dithered 16-bit silence is at -96 dBFS, the quietest usable
/// phone recording near -60 dBFS.
constexpr double silence_dbfs = -85;
/// Below this level the phone was far away or muffled; 51 takes of students are at -26 to -9 dBFS.
constexpr double low_level_dbfs = -45;
/// Below this ratio, soft notes and the ends of notes are masked. 51 takes of students have 22 to 76 dB; of other takes
/// one in forty has less.
constexpr double noisy_below_db = 20;
/// Share of samples from which clipping is audible, and the number of runs above which it is more than a knock against
/// the microphone.
constexpr double clipped_share_counts_from = 0.0005;
constexpr std::int64_t clipped_runs_count_from = 10;
/// Hum further below the voice than this does not affect the measured pitch.
constexpr double hum_counts_within_db = 40;
/// Hum within this distance of the noise floor is what the noise floor consists of.
constexpr double hum_is_the_floor_within_db = 3;

using Warnings = std::vector<RecordingWarning>;

void warn_of_clipping(const SignalQuality& signal_quality, const SampleCounts& counts, Warnings& warnings) {
  if (signal_quality.clipped_share < clipped_share_counts_from || counts.clipping.runs < clipped_runs_count_from)
    return;
  warnings.push_back({RecordingFault::clipping,
                      fmt::format("{:.2f} % of the samples are cut off at the loudest level, in {} places",
                                  100 * signal_quality.clipped_share, counts.clipping.runs),
                      "turn the recording level down, or stand a step further from the microphone"});
}

void warn_of_low_level(const SignalQuality& signal_quality, Warnings& warnings) {
  if (signal_quality.level_dbfs >= low_level_dbfs) return;
  warnings.push_back({RecordingFault::low_level,
                      fmt::format("the loud part is only at {:.0f} dBFS", signal_quality.level_dbfs),
                      "put the microphone nearer (an arm's length), uncover it, or turn the recording level up"});
}

void warn_of_noise(const SignalQuality& signal_quality, const std::optional<Hum>& hum, Warnings& warnings) {
  if (!signal_quality.snr_db || *signal_quality.snr_db >= noisy_below_db) return;
  const double floor_dbfs = signal_quality.level_dbfs - *signal_quality.snr_db;
  if (hum && hum->level_dbfs >= floor_dbfs - hum_is_the_floor_within_db) return;  // reported as hum, not a second time
  warnings.push_back(
      {RecordingFault::noise,
       fmt::format("the loud part is only {:.0f} dB above the noise of the room", *signal_quality.snr_db),
       "record in a quieter room, away from fans and open windows, with the microphone nearer"});
}

void warn_of_hum(const std::optional<Hum>& hum, const SignalQuality& signal_quality, Warnings& warnings) {
  if (!hum || hum->level_dbfs < signal_quality.level_dbfs - hum_counts_within_db) return;
  warnings.push_back({RecordingFault::hum,
                      fmt::format("a steady hum of the mains at {} Hz lies {:.0f} dB below the loud part",
                                  hum->mains_hz, signal_quality.level_dbfs - hum->level_dbfs),
                      "unplug the charger, and keep cables and lamps away from the microphone"});
}

void warn_of_bad_samples(const SampleCounts& counts, Warnings& warnings) {
  if (counts.bad_samples == 0) return;
  warnings.push_back({RecordingFault::bad_samples,
                      fmt::format("{} of {} samples are no numbers or absurdly large; they were taken as 0",
                                  counts.bad_samples, counts.frames),
                      "export the recording again, as 16-bit or 24-bit WAV or FLAC"});
}

}  // namespace

bool is_silent(std::span<const double> levels) {
  // A constant signal begins and ends with a step; the first and the last window are left out for it.
  const std::ptrdiff_t ends = levels.size() > 2 ? 1 : 0;
  return std::all_of(levels.begin() + ends, levels.end() - ends, [](double level) { return level < silence_dbfs; });
}

SignalQuality assess_signal_quality(const Samples& samples, std::span<const double> levels,
                                    const SampleCounts& counts) {
  SignalQuality signal_quality;
  const std::optional<Hum> hum = find_hum(samples, levels);
  const LevelReading reading =
      read_levels(samples, levels, hum ? NoiseFloorPolicy::accept_tonal : NoiseFloorPolicy::reject_tonal);
  signal_quality.level_dbfs = reading.level_dbfs;
  signal_quality.snr_db = reading.snr_db;
  if (counts.frames > 0)
    signal_quality.clipped_share =
        static_cast<double>(counts.clipping.clipped_samples) / static_cast<double>(counts.frames);
  warn_of_clipping(signal_quality, counts, signal_quality.warnings);
  warn_of_low_level(signal_quality, signal_quality.warnings);
  warn_of_noise(signal_quality, hum, signal_quality.warnings);
  warn_of_hum(hum, signal_quality, signal_quality.warnings);
  warn_of_bad_samples(counts, signal_quality.warnings);
  return signal_quality;
}

}  // namespace firmus::audio
