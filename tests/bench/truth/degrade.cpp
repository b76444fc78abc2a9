#include "degrade.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

#include "reverberation.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

constexpr double pi = std::numbers::pi;

double gain_of_db(double db) {
  return std::pow(10, db / 20);
}

/// Root mean square over the true notes.
double sounding_rms(const TruthTake& take) {
  double power = 0, count = 0;
  for (const TrueNote& note : take.notes) {
    const auto from = static_cast<std::size_t>(note.onset_s * take.rate_hz);
    const auto to = std::min(take.samples.size(), static_cast<std::size_t>(note.end_s * take.rate_hz));
    for (std::size_t i = from; i < to; ++i) power += static_cast<double>(take.samples[i]) * take.samples[i];
    count += to > from ? static_cast<double>(to - from) : 0;
  }
  return std::sqrt(power / std::max(1.0, count));
}

/// Scales the take to a peak of at most 0.95, so that added sounds do not clip.
void keep_in_range(TruthTake& take) {
  float peak = 0;
  for (const float value : take.samples) peak = std::max(peak, std::abs(value));
  if (peak <= 0.95F) return;
  for (float& value : take.samples) value *= 0.95F / peak;
}

/// Adds a sound whose samples beyond `audible` together lie `under_db` below the sounding parts of the take.
template <typename Value>
void add_at_level(TruthTake& take, std::span<const Value> sound, double under_db, double audible) {
  double power = 0, count = 0;
  for (const double value : sound) {
    if (std::abs(value) <= audible) continue;
    power += value * value;
    ++count;
  }
  const double gain = sounding_rms(take) * gain_of_db(-under_db) / std::sqrt(power / std::max(1.0, count));
  for (std::size_t i = 0; i < std::min(sound.size(), take.samples.size()); ++i)
    take.samples[i] += static_cast<float>(gain * static_cast<double>(sound[i]));
  keep_in_range(take);
}

struct Chord {
  double from_s = 0, to_s = 0;
  std::vector<double> hz;
};

/// A struck string: partials of amplitude 1/k that decay faster the higher they are, damped at the end.
void add_struck(std::vector<double>& sound, int rate_hz, double hz, double from_s, double to_s) {
  constexpr int partials = 6;
  constexpr double dies_s = 1.2, damped_s = 0.08;
  const auto first = static_cast<std::size_t>(from_s * rate_hz);
  for (std::size_t i = first; i < sound.size(); ++i) {
    const double t = static_cast<double>(i - first) / rate_hz;
    if (from_s + t > to_s + damped_s) return;
    const double damp = std::min(1.0, std::max(0.0, 1 - (from_s + t - to_s) / damped_s)) * std::min(1.0, t / 0.004);
    for (int k = 1; k <= partials && k * hz < rate_hz / 2.0; ++k)
      sound[i] += damp / k * std::exp(-t * (1 + 0.4 * k) / dies_s) * std::sin(2 * pi * k * hz * t);
  }
}

/// A new chord for each note that is at least half a second after the last: the written pitch of the sung note in the
/// octave from A3, a third and a fifth below it, and two octaves below it.
std::vector<Chord> chords_under(const TruthTake& take) {
  std::vector<Chord> chords;
  for (const TrueNote& note : take.notes) {
    if (!note.written || (!chords.empty() && note.onset_s < chords.back().from_s + 0.5)) continue;
    double top = take.melody.notes[static_cast<std::size_t>(*note.written)].target_hz;
    while (top > 440) top /= 2;
    while (top < 220) top *= 2;
    if (!chords.empty()) chords.back().to_s = note.onset_s;
    chords.push_back(
        {note.onset_s, note.end_s, {top, top * std::exp2(-4 / 12.0), top * std::exp2(-7 / 12.0), top / 4}});
  }
  return chords;
}

/// A Hann-windowed sinc in a table with linear interpolation.
class SincTable {
 public:
  /// `cutoff` as a share of half the old rate.
  explicit SincTable(double cutoff) : reach_(zero_crossings / cutoff) {
    for (std::size_t i = 0; i <= static_cast<std::size_t>(reach_ * steps) + 2; ++i) {
      const double x = static_cast<double>(i) / steps;
      const double sinc = i == 0 ? cutoff : std::sin(pi * cutoff * x) / (pi * x);
      values_.push_back(x < reach_ ? sinc * (0.5 + 0.5 * std::cos(pi * x / reach_)) : 0);
    }
  }
  double reach() const { return reach_; }
  double operator()(double x) const {
    const auto i = static_cast<std::size_t>(x * steps);
    return values_[i] + (values_[i + 1] - values_[i]) * (x * steps - static_cast<double>(i));
  }

 private:
  static constexpr int zero_crossings = 24;  // either side
  static constexpr double steps = 512;       // a sample; off by 2e-6 at most
  double reach_;
  std::vector<double> values_;
};

}  // namespace

void add_noise(TruthTake& take, double snr_db, std::uint64_t seed) {
  synth::Random random(seed * 77 + 5);
  const double rms = sounding_rms(take) * gain_of_db(-snr_db);
  constexpr double keep = 0.97;  // of the low-passed half, at 16 kHz: half of it under 80 Hz
  double low = 0;
  for (float& value : take.samples) {
    const double white = random.normal();
    low = keep * low + std::sqrt(1 - keep * keep) * random.normal();
    value += static_cast<float>(rms * std::numbers::sqrt2 / 2 * (white + low));
  }
  keep_in_range(take);
}

void add_hum(TruthTake& take, double under_db) {
  const double rms = sounding_rms(take) * gain_of_db(-under_db);
  constexpr double falls = 0.7;  // each harmonic against the one before
  double power = 0;
  for (int k = 1; k <= 8; ++k) power += std::pow(falls, 2 * (k - 1)) / 2;
  for (std::size_t i = 0; i < take.samples.size(); ++i) {
    const double t = static_cast<double>(i) / take.rate_hz;
    double hum = 0;
    for (int k = 1; k <= 8; ++k) hum += std::pow(falls, k - 1) * std::sin(2 * pi * 50 * k * t + k * k);
    take.samples[i] += static_cast<float>(rms / std::sqrt(power) * hum);
  }
  keep_in_range(take);
}

void clip(TruthTake& take, double share) {
  std::vector<float> sizes;
  for (const float value : take.samples) sizes.push_back(std::abs(value));
  const auto at = static_cast<std::ptrdiff_t>((1 - share) * static_cast<double>(sizes.size() - 1));
  std::nth_element(sizes.begin(), sizes.begin() + at, sizes.end());
  const float gain = 1 / std::max(1e-6F, sizes[static_cast<std::size_t>(at)]);
  for (float& value : take.samples) value = std::clamp(value * gain, -1.0F, 1.0F);
}

void set_level(TruthTake& take, double dbfs) {
  const double gain = gain_of_db(dbfs) / sounding_rms(take);
  for (float& value : take.samples) value = static_cast<float>(std::round(value * gain * 32768) / 32768);
}

void add_reverb(TruthTake& take, double to_60_db_s, double under_direct_db, std::uint64_t seed) {
  support::add_reverberation(take.samples, take.rate_hz, to_60_db_s, under_direct_db, seed * 77 + 9);
  keep_in_range(take);
}

void add_room(TruthTake& take, const RoomSound& room, std::uint64_t seed) {
  take.samples = convolved(take.samples, impulse_response(room, take.rate_hz, seed));
  keep_in_range(take);
}

void add_chords(TruthTake& take, double under_db, std::uint64_t seed) {
  synth::Random random(seed * 77 + 13);
  std::vector<double> sound(take.samples.size(), 0.0);
  for (const Chord& chord : chords_under(take)) {
    const double from_s = std::max(0.0, chord.from_s + 0.015 * random.normal());
    for (const double hz : chord.hz) add_struck(sound, take.rate_hz, hz, from_s, chord.to_s);
  }
  add_at_level(take, std::span<const double>(sound), under_db, 0);
}

void add_sound(TruthTake& take, const std::vector<float>& sound, double under_db) {
  constexpr double audible = 0.003;  // of full scale: leaves out the pauses
  add_at_level(take, std::span<const float>(sound), under_db, audible);
}

void resample(TruthTake& take, int rate_hz) {
  if (rate_hz == take.rate_hz) return;
  const double ratio = static_cast<double>(rate_hz) / take.rate_hz;
  const SincTable sinc(0.96 * std::min(1.0, ratio));
  std::vector<float> out(static_cast<std::size_t>(static_cast<double>(take.samples.size()) * ratio));
  const auto end = static_cast<std::ptrdiff_t>(take.samples.size());
  for (std::size_t n = 0; n < out.size(); ++n) {
    const double at = static_cast<double>(n) / ratio;
    const auto first = static_cast<std::ptrdiff_t>(std::ceil(std::max(0.0, at - sinc.reach())));
    const auto last = std::min(end - 1, static_cast<std::ptrdiff_t>(at + sinc.reach()));
    double sum = 0;
    for (std::ptrdiff_t i = first; i <= last; ++i)
      sum += take.samples[static_cast<std::size_t>(i)] * sinc(std::abs(static_cast<double>(i) - at));
    out[n] = static_cast<float>(sum);
  }
  take.samples = std::move(out);
  take.rate_hz = rate_hz;
}

}  // namespace firmus::truth
