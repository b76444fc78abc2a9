#include "octave_errors.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/frames.hpp"
#include "timed_notes.hpp"

namespace firmus::decode {
namespace {

constexpr double far_semitones = 4.0;
// How much lower the NSDF peaks of the other candidates may be. Each multiple of a period has a peak as high as its
// own, so candidates below the track must be nearly a tie. Those well above it are lower by 0.25 in all but 0.7 % of
// the notes of annotated takes, except where the track follows the common period of two sounds: the note and the
// reverberation of the one before.
constexpr double lower_below = 0.12, lower_above = 0.25;
constexpr double found_in_share = 0.6;  // of the note's voiced frames

struct Frames {
  std::size_t begin = 0, end = 0;
};

Frames frames_of(const DecodedNote& note, std::size_t frames) {
  return {frame_at(note.onset_s), std::min(frame_at(note.end_s), frames)};
}

/// The candidate with the highest peak within 4 semitones of `hz`.
std::optional<PitchCandidate> candidate_near(const Evidence& evidence, std::size_t frame, double hz) {
  std::optional<PitchCandidate> best;
  for (const auto& candidate : evidence.at(frame)) {
    const double away = std::abs(12 * std::log2(candidate.f0_hz / hz));
    if (away < far_semitones && (!best || candidate.nsdf_peak > best->nsdf_peak)) best = candidate;
  }
  return best;
}

/// f0 of a note's frames on the candidates near `wanted_hz`, none where these are too few or too weak. `f0_hz`: the
/// track of the note's frames.
std::optional<std::vector<float>> moved_to(double wanted_hz, const Observations& observed, const DecodedNote& note,
                                           Frames in, std::vector<float> f0_hz) {
  int voiced = 0, found = 0;
  double track_peaks = 0, candidate_peaks = 0;
  for (std::size_t i = in.begin; i < in.end; ++i) {
    if (!observed.f0_track.voiced(i)) continue;
    ++voiced;
    const auto candidate = candidate_near(observed.evidence, i, wanted_hz);
    f0_hz[i - in.begin] = candidate ? candidate->f0_hz : 0.0F;
    if (!candidate) continue;
    ++found;
    track_peaks += observed.f0_track.nsdf_peak[i];
    candidate_peaks += candidate->nsdf_peak;
  }
  const double lower_by_at_most = wanted_hz > note.coarse_hz ? lower_above : lower_below;
  if (found == 0 || found < found_in_share * voiced || candidate_peaks < track_peaks - lower_by_at_most * found)
    return std::nullopt;
  return f0_hz;
}

}  // namespace

OctaveCorrected correct_octave_errors(const Observations& observed, const Melody& melody,
                                      std::vector<DecodedNote> notes) {
  OctaveCorrected corrected{std::move(notes), observed.f0_track.f0_hz};
  for (auto& note : corrected.notes) {
    if (!note.written || note.coarse_hz <= 0) continue;
    const double wanted_hz =
        melody.notes[static_cast<std::size_t>(*note.written)].target_hz * std::exp2(note.transposition_semitones / 12);
    if (std::abs(12 * std::log2(note.coarse_hz / wanted_hz)) < far_semitones) continue;
    const Frames in = frames_of(note, observed.frames());
    const auto begin = corrected.f0_hz.begin() + static_cast<std::ptrdiff_t>(in.begin),
               end = corrected.f0_hz.begin() + static_cast<std::ptrdiff_t>(in.end);
    const auto moved = moved_to(wanted_hz, observed, note, in, std::vector<float>(begin, end));
    if (!moved) continue;
    std::ranges::copy(*moved, begin);
    note.coarse_hz = pitch_of_note(corrected.f0_hz, in.begin, in.end);
  }
  return corrected;
}

}  // namespace firmus::decode
