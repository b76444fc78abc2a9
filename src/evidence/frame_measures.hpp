// Everything about a take's frames but the net's own verdict: shared by the evidence and by the program that fits the
// net.
#pragma once
#include <span>
#include <vector>

#include "evidence/evidence.hpp"
#include "onset_features.hpp"

namespace firmus {

inline constexpr int hop_samples = 80;  ///< 5 ms at 16 kHz
static_assert(hop_samples == static_cast<int>(Evidence::hop_s * Samples::rate_hz + 0.5));
/// Frames worked on in one go: 5 s. What a take gives is cut at fixed places, so that it is the same whatever the
/// number of threads.
inline constexpr std::size_t block_frames = 1024;

/// Fills all of `evidence` but the logits.
void gather_pitch_evidence(const Samples& samples, const PitchRange& range, int threads, Evidence& evidence);

/// The pitch at which each frame's harmonics are looked at: that of the line; in a gap the one that follows, so that
/// its appearing is seen; behind the last one, that.
std::vector<float> harmonics_at_hz(std::span<const float> f0_track_hz);

/// Measures of the frames from `first` to before `end`, of a take with all of its evidence but the logits.
std::vector<FrameMeasures> measure_frames(const Samples& samples, const Evidence& evidence,
                                          std::span<const float> harmonics_hz, std::size_t first, std::size_t end);

double percentile(std::vector<float> values, double share);

}  // namespace firmus
