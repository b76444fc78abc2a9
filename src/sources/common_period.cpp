#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "sources/sources.hpp"
#include "stretches.hpp"

namespace firmus::sources {
namespace {

// A sound an octave under the voice has odd harmonics where the voice has none. With a share e of the power in them the
// NSDF is 1 at the common period and 1 - 2 e at that of the voice, so that the two peaks are nearly equally high. Share
// of the voiced time in which they are, measured: at most 0.15 in 51 annotated takes and 0.23 in 66 others, 0.22 in
// simulated voices (with a room of 1.8 s), 0 in sound-font instruments but an organ, which has such stops; with an
// octave 12 dB under the voice 0.57 to 0.96, with chords 6 dB under it 0.28 to 0.83.
constexpr double clear_difference = 0.2, least_difference = 0.02;
constexpr double least_share = 0.35;       // of the voiced time
constexpr double likely_difference = 0.3;  // once the recording is known to hold two sounds
constexpr double found_in_share = 0.7;     // of a stretch's frames
constexpr double within_octaves = 1.0 / 12;
constexpr int most_octaves = 2;  // that a bass lies under the voice

const PitchCandidate* candidate_near(const Evidence& evidence, std::size_t frame, double hz) {
  const PitchCandidate* best = nullptr;
  for (const PitchCandidate& candidate : evidence.at(frame))
    if (std::abs(std::log2(candidate.f0_hz / hz)) < within_octaves && (!best || candidate.nsdf_peak > best->nsdf_peak))
      best = &candidate;
  return best;
}

/// Median over a stretch of how much higher the NSDF peak of the track is than that at `ratio` times its frequency;
/// none where most frames have no such candidate.
std::optional<double> higher_than_at(const Evidence& evidence, const CoarseF0Track& f0_track, const Stretch& stretch,
                                     double ratio) {
  std::vector<double> differences;
  for (std::size_t i = stretch.begin; i < stretch.end; ++i)
    if (const PitchCandidate* other = candidate_near(evidence, i, ratio * f0_track.f0_hz[i]))
      differences.push_back(static_cast<double>(f0_track.nsdf_peak[i]) - other->nsdf_peak);
  const auto frames = static_cast<double>(stretch.end - stretch.begin);
  if (static_cast<double>(differences.size()) < found_in_share * frames) return std::nullopt;
  const auto middle = differences.begin() + static_cast<std::ptrdiff_t>(differences.size() / 2);
  std::ranges::nth_element(differences, middle);
  return *middle;
}

bool has_voice_above(const Evidence& evidence, const CoarseF0Track& f0_track, const Stretch& stretch, double within) {
  const auto difference = higher_than_at(evidence, f0_track, stretch, 2);
  return difference && *difference < within;
}

/// The track is at the voice, and an octave below it the peak is higher.
bool has_common_period_below(const Evidence& evidence, const CoarseF0Track& f0_track, const Stretch& stretch) {
  const auto difference = higher_than_at(evidence, f0_track, stretch, 0.5);
  return difference && -*difference > least_difference;
}

void move_up(const Evidence& evidence, CoarseF0Track& f0_track, const Stretch& stretch) {
  for (std::size_t i = stretch.begin; i < stretch.end; ++i) {
    const PitchCandidate* above = candidate_near(evidence, i, 2 * f0_track.f0_hz[i]);
    f0_track.f0_hz[i] = above ? above->f0_hz : 0;
    f0_track.nsdf_peak[i] = above ? above->nsdf_peak : 0;
  }
}

/// A stretch in whose frames a move has left no pitch is not looked at again.
bool is_voiced(const CoarseF0Track& f0_track, const Stretch& stretch) {
  for (std::size_t i = stretch.begin; i < stretch.end; ++i)
    if (!f0_track.voiced(i)) return false;
  return true;
}

}  // namespace
}  // namespace firmus::sources

namespace firmus {

double follow_voice_above(const Evidence& evidence, const OnsetEvidence& onsets, CoarseF0Track& f0_track) {
  using namespace sources;
  const std::vector<Stretch> stretches = stretches_of(evidence, f0_track, onsets);
  std::size_t all = 0, shared = 0;
  for (const Stretch& stretch : stretches) {
    const std::size_t frames = stretch.end - stretch.begin;
    all += frames;
    if (has_voice_above(evidence, f0_track, stretch, clear_difference) ||
        has_common_period_below(evidence, f0_track, stretch))
      shared += frames;
  }
  const double share = all > 0 ? static_cast<double>(shared) / static_cast<double>(all) : 0;
  if (share < least_share) return 0;
  for (const Stretch& stretch : stretches)
    for (int octave = 0; octave < most_octaves && is_voiced(f0_track, stretch); ++octave) {
      if (!has_voice_above(evidence, f0_track, stretch, likely_difference)) break;
      move_up(evidence, f0_track, stretch);
    }
  return share;
}

RecordingWarning lower_sound_warning(double share) {
  return {RecordingFault::second_voice,
          fmt::format("another sound an octave or two lower goes along with {:.0f} % of the singing", 100 * share),
          "record one voice alone, with the accompaniment in headphones"};
}

}  // namespace firmus
