#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "count_in.hpp"
#include "firmus/tone.hpp"
#include "harmonic_tone.hpp"

namespace firmus::practice {
namespace {

constexpr double attack_s = 0.025,
                 release_s = 0.06;      // raised cosines: slow enough not to click, fast enough for a clear onset
constexpr double max_edge_share = 0.3;  // share of a short note's length
constexpr double tail_s = 0.5;
constexpr double note_rms = 0.12;   // -18 dBFS; its peak is at most 1.57 times that
constexpr double drone_rms = 0.05;  // well below the notes

double raised_cosine(double share) {
  return 0.5 - 0.5 * std::cos(std::numbers::pi * std::clamp(share, 0.0, 1.0));
}

/// Amplitude envelope of a tone, 0 to 1.
double envelope_at(std::int64_t sample, std::int64_t length) {
  const double length_s = static_cast<double>(length) / tone_rate_hz, edge_s = max_edge_share * length_s;
  const double at_s = static_cast<double>(sample) / tone_rate_hz;
  return raised_cosine(at_s / std::min(attack_s, edge_s)) *
         raised_cosine((length_s - at_s) / std::min(release_s, edge_s));
}

/// A tone with its position in the output.
class ScheduledTone {
 public:
  ScheduledTone(double hz, double rms, std::int64_t begin, std::int64_t end)
      : tone_(hz), rms_(rms), begin_(begin), end_(end) {}
  void add_to(std::span<float> block, std::int64_t block_begin) const {
    const auto size = static_cast<std::int64_t>(block.size());
    const std::int64_t first = std::max(begin_, block_begin), last = std::min(end_, block_begin + size);
    for (std::int64_t n = first; n < last; ++n) {
      const double at_s = static_cast<double>(n - begin_) / tone_rate_hz;
      block[static_cast<std::size_t>(n - block_begin)] +=
          static_cast<float>(rms_ * envelope_at(n - begin_, end_ - begin_) * tone_.at(at_s));
    }
  }
  std::int64_t end() const { return end_; }
  std::int64_t begin() const { return begin_; }

 private:
  HarmonicTone tone_;
  double rms_;
  std::int64_t begin_, end_;
};

std::vector<ScheduledTone> scheduled_tones(const Melody& melody, const ToneOptions& options,
                                           std::span<const ToneSpan> spans) {
  std::vector<ScheduledTone> tones;
  const double gain = std::pow(10, options.gain_db / 20);
  for (const ToneSpan& span : spans) tones.emplace_back(span.hz, gain * note_rms, span.begin, span.end);
  const auto hz = drone_hz(melody, options);
  if (hz && !spans.empty()) tones.emplace_back(*hz, gain * drone_rms, spans.front().begin, spans.back().end);
  return tones;
}

/// Deviation of each repetition of a note.
std::vector<double> sounding_offsets_cents(const ToneOptions& options) {
  if (!options.contrast_cents) return {0};
  return {0, *options.contrast_cents, 0};
}

}  // namespace
}  // namespace firmus::practice

namespace firmus {

std::vector<ToneSpan> tone_spans(const Melody& melody, const ToneOptions& options) {
  std::vector<ToneSpan> spans;
  double at_s = practice::melody_start_s(melody, options), at_quarters = 0;
  double tempo = practice::quarters_per_minute(melody, melody.notes.front(), options);
  for (const WrittenNote& note : melody.notes) {
    at_s += (note.onset_quarters.value() - at_quarters) * 60 / tempo;
    at_quarters = note.onset_quarters.value();
    tempo = practice::quarters_per_minute(melody, note, options);
    if (note.grace) continue;
    double end_s = at_s;
    for (const double cents : practice::sounding_offsets_cents(options)) {
      at_s = end_s;  // after the loop: the start of the last repetition
      end_s += note.length_quarters.value() * 60 / tempo;
      spans.push_back({note.index, std::llround(at_s * tone_rate_hz), std::llround(end_s * tone_rate_hz),
                       note.target_hz * std::exp2((options.transpose_semitones + cents / 100) / 12)});
    }
  }
  return spans;
}

std::optional<Hertz> drone_hz(const Melody& melody, const ToneOptions& options) {
  if (!options.drone) return std::nullopt;
  return target_hz(*options.drone, melody.tuning, melody.a4_hz, melody.sounds_semitones) *
         std::exp2(options.transpose_semitones / 12);
}

std::int64_t tone_length(std::span<const ToneSpan> spans) {
  return (spans.empty() ? 0 : spans.back().end) + std::llround(practice::tail_s * tone_rate_hz);
}

void make_tones(const Melody& melody, const ToneOptions& options,
                const std::function<void(std::span<const float>)>& sink) {
  constexpr std::int64_t block_samples = 4096;
  const std::vector<ToneSpan> spans = tone_spans(melody, options);
  const auto tones = practice::scheduled_tones(melody, options, spans);
  const practice::CountIn count_in(melody, options);
  const std::int64_t length = tone_length(spans);
  std::array<float, block_samples> block{};
  std::size_t first = 0;  // tones before it have ended
  for (std::int64_t at = 0; at < length; at += block_samples) {
    const std::span<float> part(block.data(), static_cast<std::size_t>(std::min(block_samples, length - at)));
    std::fill(part.begin(), part.end(), 0.0F);
    while (first < spans.size() && spans[first].end <= at) ++first;
    for (std::size_t v = first; v < spans.size() && spans[v].begin < at + block_samples; ++v) tones[v].add_to(part, at);
    if (tones.size() > spans.size()) tones.back().add_to(part, at);
    count_in.add_to(part, at);
    sink(part);
  }
}

}  // namespace firmus
