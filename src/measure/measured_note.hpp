// One measured note with what other notes of the take can learn from it.
#pragma once
#include <optional>
#include <span>

#include "vibrato.hpp"

namespace firmus::measure {

struct MeasuredNote {
  NotePitch pitch;
  double steady_s = 0;                ///< duration of the steady part
  std::optional<VibratoFit> vibrato;  ///< as fitted, also where it is too slow or too small to be reported
};

/// measure_note (measure.hpp); `usual`: the singer's vibrato where it is known.
MeasuredNote measure_with(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                          double reverberation_level, const std::optional<UsualVibrato>& usual);

}  // namespace firmus::measure
