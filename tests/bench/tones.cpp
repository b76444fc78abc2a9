#include "tones.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "synth.hpp"

namespace firmus::bench {
namespace {

constexpr std::size_t tone_samples = static_cast<std::size_t>(tone_length_s * tone_rate_hz);
constexpr double tone_rms = 0.1;  // of full scale
constexpr double highest_harmonic_hz = 20000;
constexpr double two_pi = 2 * std::numbers::pi;

struct Formant {
  double hz, bandwidth_hz;
};
// The vowel of "father", adult voice (Peterson & Barney 1952, rounded; bandwidths common practice).
constexpr std::array<Formant, 5> formants{{{730, 80}, {1090, 90}, {2440, 120}, {3400, 150}, {4500, 200}}};

// Glottal flow falls 12 dB an octave, the lips give 6 back (Fant, Acoustic Theory of Speech Production, 1960); of a
// soft voice the flow falls by 18.
double harmonic_amplitude(int k, double hz, Voice voice) {
  double gain = voice == Voice::soft ? 1.0 / (k * k) : 1.0 / k;
  for (const Formant& formant : formants) {
    const double square = formant.hz * formant.hz, apart = square - hz * hz;
    gain *= square / std::sqrt(apart * apart + formant.bandwidth_hz * formant.bandwidth_hz * hz * hz);
  }
  return gain;
}

double db_under_tone(Noise noise) {
  return noise == Noise::at_20_db ? 20 : 10;
}

void scale_to(double rms, std::vector<double>& values) {
  double power = 0;
  for (const double value : values) power += value * value;
  const double gain = rms / std::sqrt(power / static_cast<double>(values.size()));
  for (double& value : values) value *= gain;
}

std::vector<double> harmonics_of(const Tone& tone, synth::Random& random) {
  std::vector<double> cycles(tone_samples), sum(tone_samples, 0.0);
  for (std::size_t i = 1; i < tone_samples; ++i)
    cycles[i] = cycles[i - 1] + tone.f0_hz((static_cast<double>(i) - 0.5) / tone_rate_hz) / tone_rate_hz;
  // The harmonics of a gliding tone keep the amplitudes of its centre, so that formants do not affect the comparison.
  for (int k = 1; k * tone.pitch_hz < highest_harmonic_hz; ++k) {
    const double amplitude = harmonic_amplitude(k, k * tone.pitch_hz, tone.voice), start = random.uniform();
    for (std::size_t i = 0; i < tone_samples; ++i) sum[i] += amplitude * std::sin(two_pi * (k * cycles[i] + start));
  }
  return sum;
}

}  // namespace

double Tone::f0_hz(double time_s) const {
  double cents = 0;
  if (motion == Motion::vibrato) cents = vibrato_cents * std::sin(two_pi * bench::vibrato_hz * time_s);
  if (motion == Motion::glide) cents = glide_cents_per_s * (time_s - tone_length_s / 2);
  return pitch_hz * std::exp2(cents / 1200);
}

std::vector<Tone> all_tones(Voice voice) {
  constexpr double e1_hz = 41.2034;
  std::vector<Tone> tones;
  for (int step = 0; step < 10; ++step)
    for (const Motion motion : {Motion::steady, Motion::vibrato, Motion::glide})
      for (const Noise noise : {Noise::clean, Noise::at_20_db, Noise::at_10_db})
        tones.push_back({e1_hz * std::exp2(step * 8.0 / 12.0), motion, noise, voice});
  return tones;
}

std::vector<float> render(const Tone& tone, std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<double> sum = harmonics_of(tone, random);
  scale_to(tone_rms, sum);
  if (tone.noise != Noise::clean) {
    const double deviation = tone_rms * std::pow(10.0, -db_under_tone(tone.noise) / 20);
    for (double& value : sum) value += deviation * random.normal();
  }
  return {sum.begin(), sum.end()};
}

std::vector<float> white_noise(std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<float> values(tone_samples);
  for (float& value : values) value = static_cast<float>(tone_rms * random.normal());
  return values;
}

}  // namespace firmus::bench
