// Generated notes whose pitch is known exactly: what the accuracy tests measure against. A note is a sum of harmonics
// with one running phase, so its f0 is what its formula says, to rounding. Everything is seeded: same recipe, same
// samples.
#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "firmus/audio.hpp"

namespace firmus::synth {

/// Small generator with fixed output on every platform (SplitMix64; Steele, Lea & Flood 2014).
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  double uniform();  ///< 0 to 1
  double between(double low, double high) { return low + (high - low) * uniform(); }
  double normal();  ///< mean 0, standard deviation 1 (Box & Muller 1958)

 private:
  std::uint64_t next();
  std::uint64_t state_;
};

enum class Timbre {
  voice,  ///< glottal slope and five formants of a vowel; the spectrum between them is weak
  plain   ///< harmonics falling as 1/k
};

/// Slow fluctuation and flutter of f0: two Gauss-Markov processes of second order (smooth, no corners). The defaults
/// are in the range of sung tones (Ternstrom & Friberg 1989 for flutter; slow fluctuation by listening, common
/// practice).
struct Wander {
  double slow_cents = 8;  ///< standard deviation
  double slow_s = 0.12;   ///< correlation time
  double flutter_cents = 2;
  double flutter_s = 0.012;
};

struct Note {
  double pitch_hz = 220;  ///< centre without fluctuation and drift
  double length_s = 1;
  double gap_after_s = 0;  ///< silence after it
  double amplitude = 0.2;  ///< root mean square in the middle, of full scale
  double attack_s = 0.02, release_s = 0.04;
  Timbre timbre = Timbre::voice;
  int vowel = 0;                                                ///< 0 to 4: a e i o u
  double vibrato_hz = 0, vibrato_cents = 0, vibrato_phase = 0;  ///< extent either way; phase in cycles
  double vibrato_from_s = 0;                                    ///< sets in here, over 0.2 s; 0: from the onset
  double scoop_cents = 0, scoop_s = 0;  ///< starts this far from its pitch (negative: below), reaches it in scoop_s
  double glide_cents = 0, glide_s = 0;  ///< the pitch moves by this much in the last glide_s
  double drift_cents_per_s = 0;         ///< linear, 0 at the note's middle
  std::optional<Wander> wander;
  /// Error of the marked begin and end of the steady part (positive: late), as listeners differ.
  double mark_from_off_s = 0, mark_to_off_s = 0;
};

/// Ground truth of one note. The steady part begins after attack and scoop and ends before release and glide.
struct NoteTruth {
  double onset_s = 0, end_s = 0;
  double steady_from_s = 0, steady_to_s = 0;
  double pitch_hz =
      0;  ///< centre plus the median of fluctuation and drift over the middle 60 % of the steady note; no vibrato
};

struct Sound {
  std::vector<float> values;  ///< 16 kHz
  std::vector<double> f0_hz;  ///< true f0 every 5 ms; 0 in the gaps
  std::vector<NoteTruth> notes;
  Samples samples() const { return Samples(values); }
};

/// The notes one after the other, `lead_s` of silence before and after them.
Sound render(const std::vector<Note>& notes, std::uint64_t seed, double lead_s = 0.1);

/// Adds white noise, `snr_db` under the mean power of the sounding parts.
void add_noise(Sound& sound, double snr_db, std::uint64_t seed);

/// Adds another sound at a gain (second voice, accompaniment). The longer one is cut.
void add_sound(Sound& sound, const Sound& other, double gain);

/// Output of an imperfect pitch tracker: the truth with an error of up to `error_cents` in each frame, unvoiced in
/// `lost_share` of them.
std::vector<float> coarse_track(const Sound& sound, double error_cents, double lost_share, std::uint64_t seed);

}  // namespace firmus::synth
