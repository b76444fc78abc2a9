// Features of frames that the onset net reads, shared with the program that fits it.
#pragma once
#include <cstddef>
#include <span>
#include <vector>

#include "evidence/evidence.hpp"
#include "onset_features.hpp"
#include "pitch/pitch.hpp"

namespace firmus::onsets {

/// The pitch at which the harmonics of each frame are measured: the f0 track; in a gap the pitch after it, so that the
/// appearance of its harmonics is seen; after the last note, that of the last note.
std::vector<float> harmonics_f0_hz(std::span<const float> f0_track_hz);

/// Features of the frames from `first` to before `end`.
std::vector<FrameFeatures> features_of_frames(const Samples& samples, const Evidence& evidence,
                                              const CoarseF0Track& f0_track, std::span<const float> harmonics_hz,
                                              std::size_t first, std::size_t end);

}  // namespace firmus::onsets
