#include "frame_features.hpp"

#include <algorithm>

#include "base/frames.hpp"
#include "evidence/filtered_frames.hpp"
#include "harmonic_levels.hpp"
#include "mel_bands.hpp"

namespace firmus::onsets {
namespace {

float highest_peak(std::span<const PitchCandidate> candidates) {
  float highest = 0;
  for (const auto& candidate : candidates) highest = std::max(highest, candidate.nsdf_peak);
  return highest;
}

/// Adds the features that are not of the spectrum, and makes levels relative to the recording's loud part.
void finish(FrameFeatures& here, const Evidence& evidence, const CoarseF0Track& f0_track, std::size_t frame) {
  constexpr std::size_t levels = MelBands::bands + HarmonicLevels::harmonics;
  here[levels] = evidence.level_db[frame];
  for (std::size_t m = 0; m <= levels; ++m)
    here[m] = std::clamp(here[m] - static_cast<float>(evidence.top_db), -50.0F, 10.0F);
  here[levels + 1] = f0_track.voiced(frame) ? 1.0F : 0.0F;
  here[levels + 2] = f0_track.nsdf_peak[frame];
  here[levels + 3] = highest_peak(evidence.at(frame));
}

}  // namespace

std::vector<float> harmonics_f0_hz(std::span<const float> f0_track_hz) {
  std::vector<float> hz(f0_track_hz.begin(), f0_track_hz.end());
  float nearest = 0;
  for (std::size_t i = hz.size(); i-- > 0;) hz[i] = nearest = hz[i] > 0 ? hz[i] : nearest;
  for (float& here : hz) here = nearest = here > 0 ? here : nearest;
  return hz;
}

std::vector<FrameFeatures> features_of_frames(const Samples& samples, const Evidence& gathered,
                                              const CoarseF0Track& f0_track, std::span<const float> harmonics_hz,
                                              std::size_t first, std::size_t end) {
  constexpr float silence_db = -100.0F;
  constexpr std::size_t off_centre = (HarmonicLevels::frame_samples - MelBands::frame_samples) / 2;
  MelBands bands;
  HarmonicLevels harmonics;
  evidence::FilteredFrames frames(gathered.searched.full_frames_from_hz(), HarmonicLevels::frame_samples,
                                  frame_hop_samples(Samples::rate_hz));
  frames.load(samples, static_cast<std::int64_t>(first), static_cast<std::int64_t>(end - first));
  const auto narrow = [&](std::size_t frame) {
    return frames.at(static_cast<std::int64_t>(std::min(frame, end - 1))).subspan(off_centre, MelBands::frame_samples);
  };
  std::vector<FrameFeatures> features(end - first);
  std::array<MelBands::Levels, 2> band_levels{};
  for (std::size_t i = first; i < end; ++i) {
    const std::size_t which = (i - first) % 2;
    if (which == 0) band_levels = bands.levels_db(narrow(i), narrow(i + 1));
    auto& here = features[i - first];
    auto after_bands = std::ranges::copy(band_levels[which], here.begin()).out;
    std::fill_n(after_bands, HarmonicLevels::harmonics, silence_db);
    if (harmonics_hz[i] > 0)
      std::ranges::copy(harmonics.levels_db(frames.at(static_cast<std::int64_t>(i)), harmonics_hz[i]), after_bands);
    finish(here, gathered, f0_track, i);
  }
  return features;
}

}  // namespace firmus::onsets
