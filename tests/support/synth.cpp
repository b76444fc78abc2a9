#include "synth.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>

namespace firmus::synth {
namespace {

constexpr double rate = Samples::rate_hz;
constexpr int frame_samples = 80;
constexpr int grid_samples = 16;  // fluctuation and amplitudes: one value a millisecond, interpolated linearly

struct Formant {
  double hz, bandwidth_hz;
};
// Formants of five vowels, adult voice (Peterson & Barney 1952, rounded; bandwidths common practice).
constexpr std::array<std::array<Formant, 5>, 5> vowels{{
    {{{730, 80}, {1090, 90}, {2440, 120}, {3400, 150}, {4500, 200}}},
    {{{530, 70}, {1840, 100}, {2480, 120}, {3500, 150}, {4500, 200}}},
    {{{300, 60}, {2250, 100}, {3000, 120}, {3600, 150}, {4500, 200}}},
    {{{570, 70}, {840, 80}, {2410, 120}, {3300, 150}, {4500, 200}}},
    {{{300, 60}, {870, 80}, {2240, 120}, {3300, 150}, {4500, 200}}},
}};

double resonance(const Formant& formant, double hz) {
  const double half = formant.bandwidth_hz / 2;
  const double peak = formant.hz * formant.hz + half * half;
  return peak / std::sqrt(((hz - formant.hz) * (hz - formant.hz) + half * half) *
                          ((hz + formant.hz) * (hz + formant.hz) + half * half));
}

/// Amplitude of harmonic k at its place in the spectrum: glottal flow -12 dB an octave, radiation +6, formants.
double harmonic_amplitude(const Note& note, int k, double hz) {
  if (note.timbre == Timbre::plain) return 1.0 / k;
  double gain = 1;
  for (const Formant& formant : vowels[static_cast<std::size_t>(note.vowel)]) gain *= resonance(formant, hz);
  return gain / k;
}

/// A second-order Gauss-Markov process of unit variance, one value a millisecond: two equal one-pole filters.
std::vector<double> smooth_noise(std::size_t count, double correlation_s, Random& random) {
  const double pole = std::exp(-0.001 / (correlation_s / 2));
  const double p2 = pole * pole;
  const double gain = std::sqrt(std::pow(1 - p2, 3) / (1 + p2));  // variance of 1/(1 - p z)^2 is (1+p^2)/(1-p^2)^3
  std::vector<double> values(count);
  double first = 0, second = 0;
  const int settle = static_cast<int>(8000 * correlation_s);
  for (int i = -settle; i < static_cast<int>(count); ++i) {
    first = pole * first + gain * random.normal();
    second = pole * second + first;
    if (i >= 0) values[static_cast<std::size_t>(i)] = second;
  }
  return values;
}

std::vector<double> wander_line(const Note& note, std::size_t count, Random& random) {
  std::vector<double> line(count, 0.0);
  if (!note.wander) return line;
  const auto slow = smooth_noise(count, note.wander->slow_s, random);
  const auto flutter = smooth_noise(count, note.wander->flutter_s, random);
  for (std::size_t i = 0; i < count; ++i)
    line[i] = note.wander->slow_cents * slow[i] + note.wander->flutter_cents * flutter[i];
  return line;
}

double smooth_step(double x) {
  return 0.5 - 0.5 * std::cos(std::numbers::pi * std::clamp(x, 0.0, 1.0));
}

/// Deviation in cents that does not count in the centre of the note: vibrato, scoop, glide.
double passing_cents(const Note& note, double t_s) {
  const double extent_cents =
      note.vibrato_cents * (note.vibrato_from_s > 0 ? smooth_step((t_s - note.vibrato_from_s) / 0.2) : 1.0);
  double cents = extent_cents * std::sin(2 * std::numbers::pi * (note.vibrato_hz * t_s + note.vibrato_phase));
  if (note.scoop_s > 0) cents += note.scoop_cents * (1 - smooth_step(t_s / note.scoop_s));
  if (note.glide_s > 0) cents += note.glide_cents * smooth_step((t_s - (note.length_s - note.glide_s)) / note.glide_s);
  return cents;
}

double loudness(const Note& note, double t_s) {
  const double in = note.attack_s > 0 ? smooth_step(t_s / note.attack_s) : 1.0;
  const double out = note.release_s > 0 ? smooth_step((note.length_s - t_s) / note.release_s) : 1.0;
  return in * out;
}

/// One note being written into a sound.
class NoteWriter {
 public:
  NoteWriter(const Note& note, Random& random)
      : note_(note),
        samples_(static_cast<std::size_t>(std::lround(note.length_s * rate / frame_samples)) * frame_samples),
        wander_(wander_line(note, samples_ / grid_samples + 2, random)) {
    for (double& phase : start_phase_) phase = random.uniform();
  }

  void write(Sound& sound) {
    const std::size_t begin = sound.values.size();
    NoteTruth truth = times(static_cast<double>(begin) / rate);
    std::vector<double> out(samples_, 0.0);
    fill(out);
    scale(out);
    for (const double value : out) sound.values.push_back(static_cast<float>(value));
    for (std::size_t i = 0; i < samples_; i += frame_samples) sound.f0_hz.push_back(f0_at(i));
    truth.pitch_hz = centre();
    sound.notes.push_back(truth);
  }

 private:
  double centre_cents_at(std::size_t i) const {
    const double place = static_cast<double>(i) / grid_samples;
    const auto left = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(left);
    const double t = static_cast<double>(i) / rate;
    return wander_[left] * (1 - part) + wander_[left + 1] * part + note_.drift_cents_per_s * (t - note_.length_s / 2);
  }
  double f0_at(std::size_t i) const {
    const double cents = centre_cents_at(i) + passing_cents(note_, static_cast<double>(i) / rate);
    return note_.pitch_hz * std::exp2(cents / 1200);
  }
  double steady_from() const { return std::max(std::max(note_.attack_s, note_.scoop_s) + note_.mark_from_off_s, 0.0); }
  double steady_to() const {
    return note_.length_s - std::max(std::max(note_.release_s, note_.glide_s) - note_.mark_to_off_s, 0.0);
  }

  NoteTruth times(double onset_s) const {
    return {onset_s, onset_s + static_cast<double>(samples_) / rate, onset_s + steady_from(), onset_s + steady_to(), 0};
  }
  double centre() const {
    // Sampled every millisecond: the centre moves slowly.
    const double margin = 0.2 * note_.length_s;
    const double from = std::max(steady_from(), margin + note_.mark_from_off_s),
                 to = std::min({steady_to(), note_.length_s - margin + note_.mark_to_off_s,
                                static_cast<double>(samples_) / rate});
    std::vector<double> cents;
    for (double t = from; t < to; t += 0.001) cents.push_back(centre_cents_at(static_cast<std::size_t>(t * rate)));
    if (cents.empty()) return note_.pitch_hz;
    const auto middle = cents.begin() + static_cast<std::ptrdiff_t>(cents.size() / 2);
    std::nth_element(cents.begin(), middle, cents.end());
    return note_.pitch_hz * std::exp2(*middle / 1200);
  }

  /// Adds all harmonics below 7.9 kHz; amplitudes are set every millisecond. Harmonic k is the k-th power of the first.
  void fill(std::vector<double>& out) {
    std::vector<double> f0(samples_);
    std::vector<std::complex<double>> first(samples_), power(samples_, 1.0);
    double cycles = 0;
    for (std::size_t i = 0; i < samples_; ++i) {
      f0[i] = f0_at(i);
      if (i > 0) cycles += 0.5 * (f0[i] + f0[i - 1]) / rate;
      first[i] = std::polar(1.0, 2 * std::numbers::pi * (cycles - std::floor(cycles)));
    }
    for (int k = 1; k <= most_harmonics && k * note_.pitch_hz < 7900; ++k) {
      for (std::size_t i = 0; i < samples_; ++i) power[i] = times_plain(power[i], first[i]);
      add_harmonic(out, k, power, f0);
    }
  }
  static std::complex<double> times_plain(std::complex<double> a, std::complex<double> b) {
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
  }

  void add_harmonic(std::vector<double>& out, int k, const std::vector<std::complex<double>>& power,
                    const std::vector<double>& f0) {
    const auto start = std::polar(1.0, 2 * std::numbers::pi * start_phase_[static_cast<std::size_t>(k)]);
    double now = 0, step = 0;
    for (std::size_t i = 0; i < samples_; ++i) {
      if (i % grid_samples == 0) {
        now = amplitude(k, f0[i]);
        step = (amplitude(k, f0[std::min(i + grid_samples, samples_ - 1)]) - now) / grid_samples;
      }
      out[i] += now * times_plain(power[i], start).imag();
      now += step;
    }
  }
  double amplitude(int k, double f0_hz) const {
    return k * f0_hz < 7950 ? harmonic_amplitude(note_, k, k * f0_hz) : 0.0;
  }

  void scale(std::vector<double>& out) const {
    double power = 1e-30;
    for (const double value : out) power += value * value;
    const double gain = note_.amplitude / std::sqrt(power / static_cast<double>(samples_));
    for (std::size_t i = 0; i < samples_; ++i) out[i] *= gain * loudness(note_, static_cast<double>(i) / rate);
  }

  static constexpr int most_harmonics = 256;
  Note note_;
  std::size_t samples_;
  std::vector<double> wander_;
  std::array<double, most_harmonics + 1> start_phase_{};
};

void add_silence(Sound& sound, double length_s) {
  const auto frames = static_cast<std::size_t>(std::lround(length_s * rate / frame_samples));
  sound.values.insert(sound.values.end(), frames * frame_samples, 0.0F);
  sound.f0_hz.insert(sound.f0_hz.end(), frames, 0.0);
}

}  // namespace

std::uint64_t Random::next() {
  state_ += 0x9E3779B97F4A7C15ULL;
  std::uint64_t z = state_;
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31);
}

double Random::uniform() {
  return static_cast<double>(next() >> 11) * 0x1.0p-53;
}

double Random::normal() {
  const double radius = std::sqrt(-2 * std::log(1 - uniform()));
  return radius * std::cos(2 * std::numbers::pi * uniform());
}

Sound render(const std::vector<Note>& notes, std::uint64_t seed, double lead_s) {
  Random random(seed);
  Sound sound;
  add_silence(sound, lead_s);
  for (const Note& note : notes) {
    NoteWriter(note, random).write(sound);
    add_silence(sound, note.gap_after_s);
  }
  add_silence(sound, lead_s);
  return sound;
}

void add_noise(Sound& sound, double snr_db, std::uint64_t seed) {
  double power = 0;
  std::size_t count = 0;
  for (std::size_t i = 0; i < sound.values.size(); ++i) {
    if (sound.f0_hz[i / frame_samples] <= 0) continue;
    power += static_cast<double>(sound.values[i]) * sound.values[i];
    ++count;
  }
  if (count == 0) return;
  const double deviation = std::sqrt(power / static_cast<double>(count)) * std::pow(10.0, -snr_db / 20);
  Random random(seed);
  for (float& value : sound.values) value += static_cast<float>(deviation * random.normal());
}

void add_sound(Sound& sound, const Sound& other, double gain) {
  const std::size_t count = std::min(sound.values.size(), other.values.size());
  for (std::size_t i = 0; i < count; ++i) sound.values[i] += static_cast<float>(gain * other.values[i]);
}

std::vector<float> coarse_track(const Sound& sound, double error_cents, double lost_share, std::uint64_t seed) {
  Random random(seed);
  std::vector<float> track;
  track.reserve(sound.f0_hz.size());
  for (const double f0 : sound.f0_hz) {
    const double off = random.between(-error_cents, error_cents);
    const bool lost = random.uniform() < lost_share;
    track.push_back(f0 > 0 && !lost ? static_cast<float>(f0 * std::exp2(off / 1200)) : 0.0F);
  }
  return track;
}

}  // namespace firmus::synth
