// How loud the take is and how far above its noise.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::audio {

inline constexpr int level_window_samples = 800;  ///< 50 ms at Samples::rate_hz

/// Level of each whole window of 50 ms (of what there is, if shorter): RMS about its mean, dB below full scale.
std::vector<double> levels_dbfs(const Samples& samples);

enum class NoiseFloorPolicy {
  reject_tonal,  ///< a quiet part that is itself a tone is no noise floor but a soft note
  accept_tonal   ///< hum is known to be there
};

struct LevelReading {
  double level_dbfs = 0;         ///< 95th percentile
  std::optional<double> snr_db;  ///< that less the 5th percentile; none without a pause
};

/// Windows of digital silence (a gate, an editor) count for neither: they are not the room.
LevelReading read_levels(const Samples& samples, std::span<const double> levels, NoiseFloorPolicy floor);

/// How periodic the quietest windows are, 0 to 1: the median over the quietest twentieth.
double floor_periodicity(const Samples& samples, std::span<const double> levels);

}  // namespace firmus::audio
