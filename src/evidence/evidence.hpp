// Stage `evidence`: what the samples show in each frame of 5 ms (base/frames.hpp), before any decision: the pitches
// that the waveform could have, and its level. It also says in which range of pitch to search, before any candidate is
// made. Which candidate is the pitch is left to `pitch` and `decode`; spectral features are made by `onsets`, with the
// transform (pair_fft.hpp) and the frames (filtered_frames.hpp) of this stage, the only user of FFTW.
#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "firmus/audio.hpp"
#include "firmus/melody.hpp"

namespace firmus {

/// A period that the frame repeats itself with.
struct PitchCandidate {
  float f0_hz;
  float nsdf_peak;  ///< height of its peak in the normalised square difference function (NSDF), 0 to 1
};

/// Where f0 is searched.
struct PitchRange {
  double lowest_hz = 30.0;
  double highest_hz = 2800.0;
  /// Frames hold three periods of this pitch, at least 48 ms, so that quick notes are not smeared; of lower ones, down
  /// to `lowest_hz`, they hold fewer. Missing: of `lowest_hz`.
  std::optional<double> three_periods_from_hz = std::nullopt;

  double full_frames_from_hz() const { return three_periods_from_hz.value_or(lowest_hz); }
};

/// Per-frame vectors have `frames()` elements. A frame of silence has no candidates.
struct Evidence {
  static constexpr int most_candidates = 7;  ///< of a frame
  PitchRange searched;
  double floor_db = 0, top_db = 0;  ///< 5th and 95th percentile of `level_db`: background noise and loud notes

  std::vector<PitchCandidate> candidates;      ///< of all frames, one after the other
  std::vector<std::uint32_t> first_candidate;  ///< frames() + 1 indices into `candidates`
  std::vector<float> level_db;                 ///< over 25 ms, high-passed, dBFS

  std::size_t frames() const { return level_db.size(); }
  /// Candidates of a frame, best first: highest peak, and of nearly equal ones the shorter period. One found in the low
  /// band alone comes last.
  std::span<const PitchCandidate> at(std::size_t frame) const {
    return {candidates.data() + first_candidate[frame], first_candidate[frame + 1] - first_candidate[frame]};
  }
};

/// The range for a known melody: that of its written notes, widened by a factor of 4.6 either way, so that it holds the
/// melody an octave lower with a note another octave lower, or whistled two octaves higher. At least two octaves,
/// within 30 to 2800 Hz. Frames are as long as the melody an octave lower needs.
PitchRange search_range_of(const Melody& melody);

/// The range for an unknown melody: the 5th to 95th percentile of clear pitches in one frame each 40 ms, widened as
/// above. The whole of 30 to 2800 Hz where no pitch is clear.
PitchRange estimate_pitch_range(const Samples& samples, int threads = 1);

/// Candidates are peaks of the NSDF (P. McLeod & G. Wyvill, "A smarter way to find pitch", ICMC 2005). The result does
/// not depend on the number of threads.
Evidence gather_evidence(const Samples& samples, const PitchRange& range, int threads = 1);

/// Power of the sinusoid at `hz` about a frame, as a share of the power of the whole sound there, 0 to 1: under a Hann
/// window of four periods. The first harmonic of a sung note holds 0.03 or more, a period that two sounds have in
/// common has none.
double share_of_sinusoid(const Samples& samples, std::size_t frame, double hz);

}  // namespace firmus
