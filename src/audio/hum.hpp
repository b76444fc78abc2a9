// Hum of the mains: steady narrow tones at multiples of 50 or 60 Hz, there in the quiet parts all through the take.
#pragma once
#include <optional>
#include <span>

#include "firmus/audio.hpp"

namespace firmus::audio {

struct Hum {
  int mains_hz;       ///< 50 or 60
  double level_dbfs;  ///< of its harmonics together
};

/// `levels` as from levels_dbfs.
std::optional<Hum> find_hum(const Samples& samples, std::span<const double> levels);

}  // namespace firmus::audio
