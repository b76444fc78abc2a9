// Hum of the mains: steady narrow tones at multiples of 50 or 60 Hz, there in the quiet parts all through the take.
#pragma once
#include <optional>
#include <span>

namespace firmus {

struct Hum {
  int mains_hz;       ///< 50 or 60
  double level_dbfs;  ///< of its harmonics together
};

/// `samples` are at Samples::rate_hz.
std::optional<Hum> find_hum(std::span<const float> samples);

}  // namespace firmus
