#include "note_series.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "demodulate.hpp"
#include "firmus/theory.hpp"
#include "robust.hpp"

namespace firmus::measure {
namespace {

constexpr double other_pitch_cents = 700;  ///< a scoop starts within it, an octave slip lies outside

double level_of(const Samples& samples, std::int64_t frame) {
  std::array<float, frame_samples> values;
  samples.read(frame * frame_samples - frame_samples / 2, values);
  double power = 1e-12;
  for (const float value : values) power += static_cast<double>(value) * value / frame_samples;
  return 10 * std::log10(power);
}

}  // namespace

NoteSeries gather_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s) {
  NoteSeries series;
  const auto last = static_cast<std::int64_t>(refined_hz.size());
  const std::int64_t begin = std::clamp<std::int64_t>(std::llround(onset_s / frame_s), 0, last);
  const std::int64_t end = std::clamp<std::int64_t>(std::llround(end_s / frame_s), begin, last);
  std::vector<double> pitches;
  for (std::int64_t i = begin; i < end; ++i)
    if (const float hz = refined_hz[static_cast<std::size_t>(i)]; hz > 0) pitches.push_back(hz);
  series.frames_within = static_cast<int>(end - begin);
  series.middle_hz = median(std::move(pitches));
  for (std::int64_t i = begin; i < end; ++i) {
    const double hz = refined_hz[static_cast<std::size_t>(i)];
    if (hz <= 0) continue;
    const double cents = cents_between(series.middle_hz, hz);
    if (std::abs(cents) > other_pitch_cents) continue;
    series.time_s.push_back(static_cast<double>(i) * frame_s);
    series.cents.push_back(cents);
    series.level_db.push_back(level_of(samples, i));
  }
  return series;
}

}  // namespace firmus::measure
