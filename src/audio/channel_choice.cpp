#include "channel_choice.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "periodicity.hpp"
#include "sanitize.hpp"

namespace firmus::audio {
namespace {

constexpr int excerpts_at_most = 60;
constexpr double excerpt_s = 0.1;  ///< three periods of the lowest pitch (30 Hz)
constexpr double coarse_rate_hz =
    8000;  ///< excerpts are decimated to about this rate: the pitches considered are below 1 kHz
constexpr double louder_counts_up_to = 30;  ///< dB below the loudest channel at which a channel cannot be the voice's
constexpr double clearly_more_periodic = 0.005;
constexpr double same_loudness_db = 20;  ///< for the test of opposite phase: much quieter channels hold only crosstalk

/// One excerpt of all channels, decimated, means subtracted.
struct Excerpt {
  std::vector<std::vector<float>> channels;
  std::vector<double> rms;
  double loudest() const { return *std::max_element(rms.begin(), rms.end()); }
};

std::vector<float> average_down(std::span<const float> interleaved, int channels, int channel, int factor) {
  const std::size_t count = interleaved.size() / static_cast<std::size_t>(channels) / static_cast<std::size_t>(factor);
  std::vector<float> out(count);
  const float* value = interleaved.data() + channel;
  for (float& target : out) {
    float sum = 0;
    for (int i = 0; i < factor; ++i, value += channels) sum += *value;
    target = sum / static_cast<float>(factor);
  }
  return out;
}

Excerpt make_excerpt(std::span<const float> interleaved, int channels, int factor) {
  Excerpt excerpt;
  for (int channel = 0; channel < channels; ++channel) {
    excerpt.channels.push_back(average_down(interleaved, channels, channel, factor));
    excerpt.rms.push_back(remove_mean(excerpt.channels.back()));
  }
  return excerpt;
}

struct Excerpts {
  std::vector<Excerpt> found;
  int asked = 0;
};

Excerpts read_excerpts(const FrameReader& read, std::int64_t frames, int channels, int rate_hz, int factor) {
  const auto length = std::min(frames, static_cast<std::int64_t>(excerpt_s * rate_hz));
  Excerpts result;
  result.asked =
      static_cast<int>(std::clamp<std::int64_t>(frames / std::max<std::int64_t>(length, 1), 1, excerpts_at_most));
  std::vector<float> block(static_cast<std::size_t>(length * channels));
  for (int i = 0; i < result.asked; ++i) {
    const std::int64_t begin = result.asked == 1 ? 0 : (frames - length) * i / (result.asked - 1);
    if (read(begin, block) < length) continue;
    sanitize(block);
    result.found.push_back(make_excerpt(block, channels, factor));
  }
  return result;
}

double level_db(const std::vector<Excerpt>& excerpts, std::size_t channel) {
  double energy = 0;
  for (const Excerpt& excerpt : excerpts) energy += excerpt.rms[channel] * excerpt.rms[channel];
  return 10 * std::log10(energy / static_cast<double>(excerpts.size()) + 1e-20);
}

/// The louder half of the excerpts, which is most likely to contain the voice.
std::vector<Excerpt> louder_half(std::vector<Excerpt> excerpts) {
  std::stable_sort(excerpts.begin(), excerpts.end(),
                   [](const Excerpt& a, const Excerpt& b) { return a.loudest() > b.loudest(); });
  excerpts.resize((excerpts.size() + 1) / 2);
  return excerpts;
}

double mean_periodicity(const std::vector<Excerpt>& excerpts, std::size_t channel, double rate_hz) {
  double sum = 0;
  for (const Excerpt& excerpt : excerpts) sum += periodicity(excerpt.channels[channel], rate_hz);
  return sum / static_cast<double>(excerpts.size());
}

double correlation(const std::vector<Excerpt>& excerpts, std::size_t a, std::size_t b) {
  double cross = 0, energy_a = 0, energy_b = 0;
  for (const Excerpt& excerpt : excerpts)
    for (std::size_t i = 0; i < excerpt.channels[a].size(); ++i) {
      const auto x = static_cast<double>(excerpt.channels[a][i]), y = static_cast<double>(excerpt.channels[b][i]);
      cross += x * y;
      energy_a += x * x;
      energy_b += y * y;
    }
  return energy_a > 0 && energy_b > 0 ? cross / std::sqrt(energy_a * energy_b) : 0;
}

}  // namespace

ChannelChoice choose_channel(const FrameReader& read, std::int64_t frames, int channels, int rate_hz) {
  const int factor = std::max(1, static_cast<int>(rate_hz / coarse_rate_hz));
  Excerpts excerpts = read_excerpts(read, frames, channels, rate_hz, factor);
  ChannelChoice choice;
  choice.readable_share = static_cast<double>(excerpts.found.size()) / excerpts.asked;
  if (excerpts.found.empty()) return choice;
  const std::vector<Excerpt> loud = louder_half(std::move(excerpts.found));
  std::vector<double> level;
  for (std::size_t c = 0; c < static_cast<std::size_t>(channels); ++c) level.push_back(level_db(loud, c));
  const double loudest = *std::max_element(level.begin(), level.end());
  double best = -1;
  for (std::size_t c = 0; c < level.size(); ++c) {
    if (level[c] < loudest - louder_counts_up_to) continue;
    const double score = mean_periodicity(loud, c, static_cast<double>(rate_hz) / factor);
    if (best >= 0 && score < best + clearly_more_periodic) continue;
    best = score;
    choice.channel = static_cast<int>(c);
  }
  const auto chosen = static_cast<std::size_t>(choice.channel);
  for (std::size_t c = 0; c < level.size(); ++c) {
    if (c == chosen || std::abs(level[c] - level[chosen]) > same_loudness_db) continue;
    choice.lowest_correlation = std::min(choice.lowest_correlation.value_or(1), correlation(loud, chosen, c));
  }
  return choice;
}

}  // namespace firmus::audio
