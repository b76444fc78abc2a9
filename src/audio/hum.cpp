#include "hum.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "levels.hpp"
#include "resample.hpp"

namespace firmus::audio {
namespace {

using Complex = std::complex<double>;

constexpr int decimated_rate_hz = 1000;  ///< hum is searched up to 360 Hz
/// A frame of a quarter second fits into a singer's breath.
constexpr int frame_samples = 256, hop_samples = 128;
constexpr int harmonics = 6;
/// Share of the frames that are used: the quietest ones, which are pauses or nearly so.
constexpr double quiet_share = 0.3;
constexpr std::size_t quiet_frames_at_least = 12;
constexpr double digital_silence_dbfs = -100;
/// Groups of 4 s: long enough to separate G1 (49.0 Hz) from 50 Hz, short enough for a constant mains frequency.
constexpr std::size_t group_hops = 32, group_hops_at_least = 8, group_frames_at_least = 4;
constexpr std::size_t groups_at_least = 2;
constexpr double grid_hz = 0.05;  ///< step of the frequency search: a fifth of the resolution of 4 s
/// Noise reaches 0.5 in the worst case (two groups of four frames); a steady tone gives nearly 1.
constexpr double coherent_from = 0.75;
/// The mains frequency is nearly always within 0.1 Hz of its nominal value and a phone's clock within 0.01 %. The
/// deviation grows with the harmonic; noise adds to it.
constexpr double off_by_at_most_hz = 0.1, noise_allowance_hz = 0.15;
/// Least ratio of the 20th to the 80th percentile of the amplitudes in quiet frames: a decaying string is below it.
constexpr double steady_from = 0.35;
/// A single tone is hum only if it is the first or the second harmonic and is steadier than any instrument.
constexpr int harmonics_at_least = 2, harmonics_sufficient_alone = 2;
constexpr double sufficient_alone_from_coherence = 0.9, sufficient_alone_from_steadiness = 0.6;

/// Samples at 1 kHz: means of four first, which attenuate what is near 4 and 8 kHz by at least 19 dB; then a proper
/// filter, since means alone would alias the second harmonic of A4 to 120 Hz.
std::vector<float> decimated_to_1_khz(const Samples& samples) {
  constexpr int of_mean = 4;
  Resampler resampler(Samples::rate_hz / of_mean, decimated_rate_hz);
  std::vector<float> decimated, block(1 << 14), means(block.size() / of_mean);
  for (std::int64_t begin = 0; begin < samples.size(); begin += static_cast<std::int64_t>(block.size())) {
    samples.read(begin, block);
    for (std::size_t i = 0; i < means.size(); ++i) {
      const float* const four = &block[i * of_mean];
      means[i] = ((four[0] + four[1]) + (four[2] + four[3])) / of_mean;
    }
    resampler.add(means, decimated);
  }
  resampler.finish(decimated);
  decimated.resize(static_cast<std::size_t>(samples.size() / (Samples::rate_hz / decimated_rate_hz)));
  return decimated;
}

/// Indices of the frames that are quiet over their whole length.
std::vector<std::size_t> quiet_frames(std::span<const double> levels, std::size_t frames) {
  constexpr std::size_t windows_per_second = Samples::rate_hz / level_window_samples;
  std::vector<double> loudest(frames);
  for (std::size_t i = 0; i < frames; ++i) {
    const std::size_t first = i * hop_samples * windows_per_second / decimated_rate_hz;
    const std::size_t last = (i * hop_samples + frame_samples) * windows_per_second / decimated_rate_hz;
    for (std::size_t k = first; k <= last; ++k)
      loudest[i] = k == first ? levels[k] : std::max(loudest[i], levels[std::min(k, levels.size() - 1)]);
  }
  std::vector<double> sorted;
  std::copy_if(loudest.begin(), loudest.end(), std::back_inserter(sorted),
               [](double level) { return level > digital_silence_dbfs; });
  std::vector<std::size_t> quiet;
  if (sorted.empty()) return quiet;
  std::sort(sorted.begin(), sorted.end());
  const double limit = sorted[static_cast<std::size_t>(quiet_share * static_cast<double>(sorted.size() - 1))];
  for (std::size_t i = 0; i < frames; ++i)
    if (loudest[i] > digital_silence_dbfs && loudest[i] <= limit) quiet.push_back(i);
  return quiet;
}

struct Frame {
  std::size_t index;
  Complex amplitude;  ///< of the tone, phase relative to time 0
};

/// The component at `frequency_hz` in each quiet frame (Hann window).
std::vector<Frame> demodulate(std::span<const float> decimated, const std::vector<std::size_t>& quiet,
                              double frequency_hz) {
  std::array<Complex, frame_samples> kernel;
  const double step = 2 * std::numbers::pi * frequency_hz / decimated_rate_hz;
  for (std::size_t i = 0; i < frame_samples; ++i) {
    const auto place = static_cast<double>(i);
    const double window = 1 - std::cos(2 * std::numbers::pi * (place + 0.5) / frame_samples);
    kernel[i] = std::polar(2 * window / frame_samples, -step * place);
  }
  std::vector<Frame> frames;
  for (const std::size_t index : quiet) {
    Complex sum = 0;
    const std::size_t begin = index * hop_samples;
    for (std::size_t i = 0; i < frame_samples; ++i) sum += kernel[i] * static_cast<double>(decimated[begin + i]);
    frames.push_back({index, sum * std::polar(1.0, -step * static_cast<double>(begin))});
  }
  return frames;
}

/// Consecutive frames over which the phase of a tone at the right frequency is constant.
using Group = std::span<const Frame>;

std::vector<Group> groups_of(const std::vector<Frame>& frames) {
  std::vector<Group> groups;
  for (std::size_t begin = 0, end = 0; begin < frames.size(); begin = end) {
    while (end < frames.size() && frames[end].index / group_hops == frames[begin].index / group_hops) ++end;
    const bool long_enough = frames[end - 1].index - frames[begin].index >= group_hops_at_least;
    if (end - begin >= group_frames_at_least && long_enough) groups.emplace_back(&frames[begin], end - begin);
  }
  return groups;
}

/// Share of the energy that is coherent with a tone `off_hz` above the frequency of demodulation: 1 for that tone; for
/// noise, 1 over the number of frames in a group.
double coherence_at_offset(const std::vector<Group>& groups, double off_hz) {
  double in_step = 0, energy = 0;
  for (const Group group : groups) {
    Complex sum = 0;
    for (const Frame& frame : group) {
      const double turns = off_hz * static_cast<double>(frame.index) * hop_samples / decimated_rate_hz;
      sum += frame.amplitude * std::polar(1.0, -2 * std::numbers::pi * turns);
      energy += std::norm(frame.amplitude);
    }
    in_step += std::norm(sum) / static_cast<double>(group.size());
  }
  return energy > 0 ? in_step / energy : 0;
}

/// Its maximum over the frequencies that the mains may have.
double peak_coherence(const std::vector<Group>& groups, double allowed_hz) {
  double best = 0;
  for (double off_hz = -allowed_hz; off_hz <= allowed_hz; off_hz += grid_hz)
    best = std::max(best, coherence_at_offset(groups, off_hz));
  return best;
}

struct Tone {
  double power;  ///< mean square
  bool sufficient_alone;
};

/// The tone at a harmonic of the mains, if there is one: coherent, and of nearly constant amplitude.
std::optional<Tone> steady_tone(std::span<const float> decimated, const std::vector<std::size_t>& quiet, int mains_hz,
                                int harmonic) {
  const std::vector<Frame> frames = demodulate(decimated, quiet, mains_hz * harmonic);
  const double allowed_hz = off_by_at_most_hz * harmonic + noise_allowance_hz;
  const std::vector<Group> groups = groups_of(frames);
  if (groups.size() < groups_at_least) return std::nullopt;
  const double coherent_share = peak_coherence(groups, allowed_hz);
  if (coherent_share < coherent_from) return std::nullopt;
  std::vector<double> amplitudes;
  for (const Frame& frame : frames) amplitudes.push_back(std::abs(frame.amplitude));
  std::sort(amplitudes.begin(), amplitudes.end());
  const std::size_t count = amplitudes.size();
  const double steadiness = amplitudes[count / 5] / amplitudes[count * 4 / 5];
  if (steadiness < steady_from) return std::nullopt;
  const bool sufficient_alone = harmonic <= harmonics_sufficient_alone &&
                                coherent_share >= sufficient_alone_from_coherence &&
                                steadiness >= sufficient_alone_from_steadiness;
  return Tone{amplitudes[count / 2] * amplitudes[count / 2] / 2, sufficient_alone};
}

/// The hum of mains with this nominal frequency, if there is any.
std::optional<Hum> hum_at(std::span<const float> decimated, const std::vector<std::size_t>& quiet, int mains_hz) {
  double power = 0;
  int tones = 0;
  bool any_sufficient_alone = false;
  for (int harmonic = 1; harmonic <= harmonics; ++harmonic) {
    const auto tone = steady_tone(decimated, quiet, mains_hz, harmonic);
    if (!tone) continue;
    power += tone->power;
    any_sufficient_alone = any_sufficient_alone || tone->sufficient_alone;
    ++tones;
  }
  if (tones < harmonics_at_least && !any_sufficient_alone) return std::nullopt;
  return Hum{mains_hz, 10 * std::log10(power)};
}

}  // namespace

std::optional<Hum> find_hum(const Samples& samples, std::span<const double> levels) {
  const std::vector<float> decimated = decimated_to_1_khz(samples);
  if (decimated.size() < frame_samples) return std::nullopt;
  const std::size_t frames = (decimated.size() - frame_samples) / hop_samples + 1;
  const std::vector<std::size_t> quiet = quiet_frames(levels, frames);
  if (quiet.size() < quiet_frames_at_least) return std::nullopt;
  const auto hum_50 = hum_at(decimated, quiet, 50), hum_60 = hum_at(decimated, quiet, 60);
  if (!hum_50 || !hum_60) return hum_50 ? hum_50 : hum_60;
  return hum_50->level_dbfs >= hum_60->level_dbfs ? hum_50 : hum_60;
}

}  // namespace firmus::audio
