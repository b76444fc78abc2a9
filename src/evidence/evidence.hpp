// What the sound shows, frame by frame: pitch candidates with strength, level, onset and offset evidence. It keeps
// candidates, not decisions; octave, boundaries and which note is which are decided in `decode`.
#pragma once
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus {

struct PitchCandidate {
  float f0_hz;
  float strength;  ///< height of its peak in the normalised square difference, 0 to 1
};

/// Frames are `hop_s` apart; frame i is centred on i * hop_s. All per-frame vectors have `frames()` elements.
struct Evidence {
  static constexpr double hop_s = 0.005;
  double lowest_hz = 0, highest_hz = 0;  ///< the range that was searched
  double floor_db = 0, top_db = 0;       ///< 5th and 95th percentile of the level, dBFS

  std::vector<PitchCandidate> candidates;      ///< of all frames, one after the other
  std::vector<std::uint32_t> first_candidate;  ///< frames() + 1 places into `candidates`
  std::vector<float> level_db;                 ///< of the frame, dBFS, high-passed
  std::vector<float> f0_track_hz;              ///< the cheapest path through the candidates; 0 where it is unvoiced
  std::vector<float> clarity;                  ///< strength of the candidate on that path, 0 where unvoiced
  std::vector<float> onset_logit;              ///< log odds that a note starts here
  std::vector<float> offset_logit;             ///< log odds that a note ends here

  std::size_t frames() const { return level_db.size(); }
  std::span<const PitchCandidate> at(std::size_t frame) const {
    return {candidates.data() + first_candidate[frame], first_candidate[frame + 1] - first_candidate[frame]};
  }
  bool voiced(std::size_t frame) const { return f0_track_hz[frame] > 0; }
  static std::size_t frame_at(double time_s) { return static_cast<std::size_t>(time_s / hop_s + 0.5); }
};

struct PitchRange {
  double lowest_hz = 30.0;
  double highest_hz = 2800.0;
};

/// The fitted weights of the onset and offset evidence (see src/fit for what they were fitted on).
class OnsetNet;
std::shared_ptr<const OnsetNet> default_onset_net();
/// Reads weights written by firmus-fit. Throws InputError.
std::shared_ptr<const OnsetNet> read_onset_net(const std::string& path);

/// Evidence of a take. `range`: where f0 is searched. The same whatever the number of threads; one FFTW plan per size,
/// made once per process.
Evidence gather_evidence(const Samples& samples, const PitchRange& range, const OnsetNet& net, int threads = 1);

/// The range in which the take's pitch lies, from a sparse look over the whole of 30 to 2800 Hz.
PitchRange estimate_pitch_range(const Samples& samples, int threads = 1);

}  // namespace firmus
