// Mains hum: steady narrow-band tones at multiples of 50 or 60 Hz, present in the quiet parts of the whole recording.
#pragma once
#include <optional>
#include <span>

#include "firmus/audio.hpp"

namespace firmus::audio {

struct Hum {
  int mains_hz;       ///< 50 or 60
  double level_dbfs;  ///< sum of the powers of its harmonics
};

/// `levels` as from levels_dbfs.
std::optional<Hum> find_hum(const Samples& samples, std::span<const double> levels);

}  // namespace firmus::audio
