// The parts of the singer: plan -> timed notes -> control track -> sound. For the singer_*.cpp only.
#pragma once
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <string>
#include <vector>

#include "singer.hpp"

namespace firmus::singer {

/// SplitMix64 (Steele, Lea & Flood 2014): the same numbers with every standard library.
class Random {
 public:
  Random(std::uint64_t seed, std::uint64_t purpose)
      : state_(seed * 0x9E3779B97F4A7C15ULL + purpose * 0xD1B54A32D192ED03ULL) {}
  std::uint64_t bits() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  double uniform() { return (static_cast<double>(bits() >> 11) + 0.5) * 0x1.0p-53; }  // within (0, 1)
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  double normal() { return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::numbers::pi * uniform()); }

 private:
  std::uint64_t state_;
};

enum class Consonant { none, plosive, fricative, voiced };
enum class Vowel { a, e, i, o, u };

struct Syllable {
  Consonant consonant = Consonant::none;
  Vowel vowel = Vowel::a;
  double noise_hz = 4000;            ///< centre of the consonant's noise
  Consonant coda = Consonant::none;  ///< after the vowel
};
Syllable syllable_of(std::string_view text);
double consonant_s(Consonant consonant);
double coda_s(Consonant coda);

inline constexpr double murmur_amplitude = 0.3;  ///< of a voiced consonant, relative to a vowel

/// One note of the schedule, before it is synthesised.
struct TimedNote {
  SungNote truth;  ///< sung_hz: the planned centre, without the slow fluctuation of f0
  Syllable syllable;
  bool after_gap = true;  ///< silence or a breath before it
  bool before_gap = true;
  double level_before = 0;  ///< amplitude where its consonant begins, relative to a vowel
};
std::vector<TimedNote> time_notes(const Melody& melody, const Plan& plan);

inline constexpr int formant_count = 5;
/// State of the voice in one control frame; there are 1000 a second.
struct ControlFrame {
  double f0_hz = 0;
  double amplitude = 0;             ///< 0: silent; 1: a full vowel
  double muffle_db_per_octave = 0;  ///< extra tilt of a closed mouth
  std::array<double, formant_count> formant_hz{};
};
inline constexpr int control_rate_hz = 1000;

/// A segment of noise: a burst, a hiss, a breath.
struct NoiseBurst {
  double from_s = 0, length_s = 0;
  double centre_hz = 4000, bandwidth_hz = 3000;
  double amplitude = 0;
};

struct Score {
  std::vector<ControlFrame> frames;
  std::vector<NoiseBurst> bursts;
};

/// Writes the notes into the score, and adds the slow fluctuation of f0 to their truth.
void write_notes(Score& score, std::vector<TimedNote>& notes, const Plan& plan);
/// Writes speech-like sound into the score between two times.
void write_talk(Score& score, double from_s, double to_s, double centre_hz, const Plan& plan);

std::array<double, formant_count> formants_of(Vowel vowel, double scale);

/// The dry voice, at rate_hz.
std::vector<double> render_voice(const Score& score, const Plan& plan);
/// The voice in its room, at the room's level.
std::vector<float> record(const std::vector<double>& voice, const Plan& plan);

/// Random fluctuation with equal power in each octave of time constants (1/f-like), unit variance, one value a control
/// frame.
std::vector<double> slow_wander(std::size_t frames, std::uint64_t seed);

}  // namespace firmus::singer
