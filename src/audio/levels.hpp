// Level and signal-to-noise ratio of a recording.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::audio {

inline constexpr int level_window_samples = 800;  ///< 50 ms at Samples::rate_hz

/// RMS level about the mean of each complete window of 50 ms, dB re full scale; a shorter recording is one window.
std::vector<double> levels_dbfs(const Samples& samples);

enum class NoiseFloorPolicy {
  reject_tonal,  ///< a periodic quiet part is a soft note, not the noise floor
  accept_tonal   ///< hum has been found, so the noise floor may be periodic
};

struct LevelReading {
  double level_dbfs = 0;         ///< 95th percentile
  std::optional<double> snr_db;  ///< level_dbfs minus the 5th percentile; none without a pause of 250 ms
};

/// Windows of digital silence (from a noise gate or an editor) are left out: they do not show the noise of the room.
LevelReading read_levels(const Samples& samples, std::span<const double> levels, NoiseFloorPolicy floor);

/// Median periodicity, 0 to 1, of the quietest twentieth of the windows.
double floor_periodicity(const Samples& samples, std::span<const double> levels);

}  // namespace firmus::audio
