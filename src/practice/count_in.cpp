#include "count_in.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus::practice {
namespace {

constexpr double default_quarters_per_minute = 90;
constexpr double lead_in_s = 0.2;
constexpr double click_hz = 2000, click_peak = 0.2;               // high and short: not mistaken for a note
constexpr std::int64_t click_samples = 15 * tone_rate_hz / 1000;  // 15 ms

int beat_unit(const Melody& melody) {
  return melody.meter ? melody.meter->unit : 4;
}

double beat_s(const Melody& melody, const ToneOptions& options) {
  return 4.0 / beat_unit(melody) * 60 / quarters_per_minute(melody, melody.notes.front(), options);
}

/// Position of the melody's beginning within its beat, in beats: 0 on the beat.
double beats_after_beat(const Melody& melody) {
  const WrittenNote& first = melody.notes.front();
  if (!first.beat) return 0;
  const double beat = (*first.beat - first.onset_quarters * Fraction(beat_unit(melody), 4)).value();
  return beat - std::floor(beat);
}

/// Beats from the first click to the melody's beginning.
double count_in_beats(const Melody& melody, const ToneOptions& options) {
  if (options.count_in_beats == 0) return 0;
  const double after = beats_after_beat(melody);
  return options.count_in_beats - 1 + (after > 0 ? after : 1);
}

double click_at(std::int64_t sample) {
  const double share = static_cast<double>(sample) / click_samples, at_s = static_cast<double>(sample) / tone_rate_hz;
  return click_peak * std::pow(std::sin(std::numbers::pi * share), 2) *
         std::sin(2 * std::numbers::pi * click_hz * at_s);
}

}  // namespace

double quarters_per_minute(const Melody& melody, const WrittenNote& note, const ToneOptions& options) {
  if (options.beats_per_minute) return *options.beats_per_minute * 4 / beat_unit(melody);
  return note.quarters_per_minute.value_or(default_quarters_per_minute);
}

double melody_start_s(const Melody& melody, const ToneOptions& options) {
  return lead_in_s + count_in_beats(melody, options) * beat_s(melody, options);
}

CountIn::CountIn(const Melody& melody, const ToneOptions& options)
    : clicks_(count_in_clicks(melody, options)), gain_(std::pow(10, options.gain_db / 20)) {}

void CountIn::add_to(std::span<float> block, std::int64_t block_begin) const {
  const std::int64_t block_end = block_begin + static_cast<std::int64_t>(block.size());
  for (const std::int64_t click : clicks_)
    for (std::int64_t n = std::max(click, block_begin); n < std::min(click + click_samples, block_end); ++n)
      block[static_cast<std::size_t>(n - block_begin)] += static_cast<float>(gain_ * click_at(n - click));
}

}  // namespace firmus::practice

namespace firmus {

std::vector<std::int64_t> count_in_clicks(const Melody& melody, const ToneOptions& options) {
  std::vector<std::int64_t> clicks;
  for (int beat = 0; beat < options.count_in_beats; ++beat)
    clicks.push_back(std::llround((practice::lead_in_s + beat * practice::beat_s(melody, options)) * tone_rate_hz));
  return clicks;
}

}  // namespace firmus
