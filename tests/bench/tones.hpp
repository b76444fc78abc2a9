// Tones whose f0 is known exactly at every moment, as a take of 44.1 kHz: test signals for pitch trackers.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace firmus::bench {

inline constexpr int tone_rate_hz = 44100;
inline constexpr double tone_length_s = 2.0;

enum class Motion { steady, vibrato, glide };
inline constexpr double vibrato_hz = 5.5, vibrato_cents = 80;  ///< either way
inline constexpr double glide_cents_per_s = 100;

enum class Noise { clean, at_20_db, at_10_db };

/// Spectral slope of the source at the listener: 12 dB per octave for a soft voice, 6 for a pressed one. Trackers that
/// start from the strongest harmonic make octave errors where that is far above the first; where it is the first, all
/// trackers do best.
enum class Voice { soft, pressed };

struct Tone {
  double pitch_hz = 0;  ///< its centre
  Motion motion = Motion::steady;
  Noise noise = Noise::clean;
  Voice voice = Voice::soft;
  double f0_hz(double time_s) const;
};

/// E1 to E7 in steps of eight semitones, each steady, with vibrato and gliding; clean and with two levels of noise.
std::vector<Tone> all_tones(Voice voice);

/// Harmonics to 20 kHz through the formants of a vowel, and white noise at the tone's noise level.
std::vector<float> render(const Tone& tone, std::uint64_t seed);

/// White noise as loud as the tones, of the same length.
std::vector<float> white_noise(std::uint64_t seed);

}  // namespace firmus::bench
