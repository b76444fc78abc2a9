#include "note_series.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/statistics.hpp"
#include "demodulate.hpp"
#include "firmus/theory.hpp"
#include "nearby_samples.hpp"

namespace firmus::measure {
namespace {

constexpr double other_pitch_cents = 700;  ///< a scoop starts within, an octave error lies outside

/// Mean power under a Hann window of two periods, at least 20 ms: in less the level would ripple with the period.
class LevelMeter {
 public:
  LevelMeter(const Samples& samples, double f0_hz)
      : samples_(samples), weight_(static_cast<std::size_t>(Samples::rate_hz * std::clamp(2 / f0_hz, 0.020, 0.070))) {
    const auto length = static_cast<double>(weight_.size());
    for (std::size_t i = 0; i < weight_.size(); ++i)
      weight_[i] =
          static_cast<float>((1 - std::cos(2 * std::numbers::pi * (static_cast<double>(i) + 0.5) / length)) / length);
  }
  double dbfs(std::int64_t frame) {
    const auto values =
        samples_.read(frame * frame_samples - static_cast<std::int64_t>(weight_.size()) / 2, weight_.size());
    float power = 0;
#pragma omp simd reduction(+ : power)
    for (std::size_t i = 0; i < weight_.size(); ++i) power += weight_[i] * values[i] * values[i];
    return 10 * std::log10(static_cast<double>(power) + 1e-12);
  }

 private:
  NearbySamples samples_;
  std::vector<float> weight_;
};

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
  if (series.middle_hz <= 0) return series;
  LevelMeter meter(samples, series.middle_hz);
  for (std::int64_t i = begin; i < end; ++i) {
    const double hz = refined_hz[static_cast<std::size_t>(i)];
    if (hz <= 0) continue;
    const double cents = cents_between(Hertz(series.middle_hz), Hertz(hz));
    if (std::abs(cents) > other_pitch_cents) continue;
    series.time_s.push_back(static_cast<double>(i) * frame_s);
    series.cents.push_back(cents);
    series.level_db.push_back(meter.dbfs(i));
  }
  return series;
}

}  // namespace firmus::measure
