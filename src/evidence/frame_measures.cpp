#include "frame_measures.hpp"

#include <algorithm>

#include "harmonic_levels.hpp"
#include "mel_bands.hpp"
#include "rumble_filter.hpp"

namespace firmus {
namespace {

float strongest_of(std::span<const PitchCandidate> candidates) {
  float strongest = 0;
  for (const auto& candidate : candidates) strongest = std::max(strongest, candidate.strength);
  return strongest;
}

/// Fills in what is not from the spectrum, and sets levels against the take's loud part.
void finish(FrameMeasures& here, const Evidence& evidence, std::size_t frame) {
  constexpr std::size_t levels = MelBands::bands + HarmonicLevels::harmonics;
  here[levels] = evidence.level_db[frame];
  for (std::size_t m = 0; m <= levels; ++m)
    here[m] = std::clamp(here[m] - static_cast<float>(evidence.top_db), -50.0F, 10.0F);
  here[levels + 1] = evidence.voiced(frame) ? 1.0F : 0.0F;
  here[levels + 2] = evidence.clarity[frame];
  here[levels + 3] = strongest_of(evidence.at(frame));
}

}  // namespace

std::vector<float> harmonics_at_hz(std::span<const float> f0_track_hz) {
  std::vector<float> hz(f0_track_hz.begin(), f0_track_hz.end());
  float near = 0;
  for (std::size_t i = hz.size(); i-- > 0;) hz[i] = near = hz[i] > 0 ? hz[i] : near;
  for (float& here : hz) here = near = here > 0 ? here : near;
  return hz;
}

std::vector<FrameMeasures> measure_frames(const Samples& samples, const Evidence& evidence,
                                          std::span<const float> harmonics_hz, std::size_t first, std::size_t end) {
  constexpr float silence_db = -100.0F;
  constexpr std::size_t off_centre = (HarmonicLevels::frame_samples - MelBands::frame_samples) / 2;
  MelBands bands;
  HarmonicLevels harmonics;
  FilteredFrames frames(evidence.lowest_hz, HarmonicLevels::frame_samples, hop_samples);
  frames.load(samples, static_cast<std::int64_t>(first), static_cast<std::int64_t>(end - first));
  const auto narrow = [&](std::size_t frame) {
    return frames.at(static_cast<std::int64_t>(std::min(frame, end - 1))).subspan(off_centre, MelBands::frame_samples);
  };
  std::vector<FrameMeasures> measures(end - first);
  std::array<MelBands::Levels, 2> band_levels{};
  for (std::size_t i = first; i < end; ++i) {
    const std::size_t which = (i - first) % 2;
    if (which == 0) band_levels = bands.levels_db(narrow(i), narrow(i + 1));
    auto& here = measures[i - first];
    auto after_bands = std::ranges::copy(band_levels[which], here.begin()).out;
    std::fill_n(after_bands, HarmonicLevels::harmonics, silence_db);
    if (harmonics_hz[i] > 0)
      std::ranges::copy(harmonics.levels_db(frames.at(static_cast<std::int64_t>(i)), harmonics_hz[i]), after_bands);
    finish(here, evidence, i);
  }
  return measures;
}

double percentile(std::vector<float> values, double share) {
  if (values.empty()) return 0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace firmus
