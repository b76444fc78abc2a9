#include "levels.hpp"

#include <algorithm>
#include <cmath>

#include "periodicity.hpp"

namespace firmus::audio {
namespace {

constexpr double loud_percentile = 0.95, quiet_percentile = 0.05;
/// A window below this level is digital silence: rounding noise of 16 bits is at -101 dBFS.
constexpr double silent_block_dbfs = -100;
constexpr double lowest_dbfs = -200;
/// A noise floor with a higher periodicity is a soft note. Differenced room noise is below 0.5; voice and strings are
/// above 0.8.
constexpr double tone_from_periodicity = 0.65;
/// A quiet part this far below the loud part is the noise floor even if it is periodic.
constexpr double floor_whatever_its_sound_db = 35;
/// A pause lasts 250 ms or more: unvoiced consonants, which are quiet and not periodic either, are shorter.
constexpr std::size_t pause_windows = 5;
/// The loudest window of the quietest pause lies this near to the quiet windows of the take, or they are no pauses.
constexpr double pause_agrees_within_db = 6;
constexpr std::size_t floor_windows_at_most = 24;
constexpr std::size_t floor_samples =
    1600;  ///< length of the excerpt around a quiet window: three periods of the lowest pitch

/// Variance of one window, in partial sums that vectorise.
double variance(std::span<const float> window) {
  float sum = 0, squares = 0;
  const float first = window.front();
#pragma omp simd reduction(+ : sum, squares)
  for (std::size_t i = 0; i < window.size(); ++i) {
    const float value = window[i] - first;  // a large constant offset would cost precision
    sum += value;
    squares += value * value;
  }
  const double count = static_cast<double>(window.size()), mean = static_cast<double>(sum) / count;
  return std::max(0.0, static_cast<double>(squares) / count - mean * mean);
}

double percentile(const std::vector<double>& sorted, double share) {
  return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1) + 0.5)];
}

/// Level of the loudest window of the quietest pause, digital silence left out; none where nothing lasts as long.
std::optional<double> quietest_pause_dbfs(std::span<const double> levels) {
  std::optional<double> quietest;
  for (std::size_t i = 0; i + pause_windows <= levels.size(); ++i) {
    const auto [least, most] = std::ranges::minmax(levels.subspan(i, pause_windows));
    if (least > silent_block_dbfs && (!quietest || most < *quietest)) quietest = most;
  }
  return quietest;
}

/// The level of the noise: that of the quiet windows if pauses have it too, that of a pause that is quieter still (a
/// short one, before the first note), none if they are only moments between notes.
std::optional<double> noise_floor_dbfs(std::span<const double> levels, double quiet_dbfs) {
  const auto pause_dbfs = quietest_pause_dbfs(levels);
  if (!pause_dbfs || *pause_dbfs > quiet_dbfs + pause_agrees_within_db) return std::nullopt;
  return *pause_dbfs < quiet_dbfs - pause_agrees_within_db ? *pause_dbfs : quiet_dbfs;
}

/// First differences at half the rate: they attenuate low-frequency room noise, which would look periodic.
std::vector<float> differenced(std::span<const float> excerpt) {
  std::vector<float> out;
  for (std::size_t i = 2; i < excerpt.size(); i += 2) out.push_back(excerpt[i] - excerpt[i - 2]);
  return out;
}

}  // namespace

std::vector<double> levels_dbfs(const Samples& samples) {
  std::vector<double> levels;
  std::vector<float> window(static_cast<std::size_t>(std::min<std::int64_t>(level_window_samples, samples.size())));
  const auto step = static_cast<std::int64_t>(window.size());
  for (std::int64_t at = 0; step > 0 && at + step <= samples.size(); at += step) {
    samples.read(at, window);
    const double power = variance(window);
    levels.push_back(power > 0 ? std::max(lowest_dbfs, 10 * std::log10(power)) : lowest_dbfs);
  }
  return levels;
}

double floor_periodicity(const Samples& samples, std::span<const double> levels) {
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < levels.size(); ++i)
    if (levels[i] > silent_block_dbfs) order.push_back(i);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return levels[a] < levels[b]; });
  const auto twentieth = static_cast<std::size_t>(std::ceil(quiet_percentile * static_cast<double>(order.size())));
  std::vector<double> found;
  const std::size_t count = std::min(twentieth, floor_windows_at_most);
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t middle = order[i * twentieth / count] * level_window_samples + level_window_samples / 2;
    const std::size_t begin = middle - std::min(middle, floor_samples / 2);
    std::vector<float> excerpt(std::min(floor_samples, static_cast<std::size_t>(samples.size()) - begin));
    samples.read(static_cast<std::int64_t>(begin), excerpt);
    found.push_back(periodicity(differenced(excerpt), Samples::rate_hz / 2.0));
  }
  if (found.empty()) return 0;
  std::nth_element(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(found.size() / 2), found.end());
  return found[found.size() / 2];
}

LevelReading read_levels(const Samples& samples, std::span<const double> levels, NoiseFloorPolicy floor) {
  std::vector<double> sorted;
  std::copy_if(levels.begin(), levels.end(), std::back_inserter(sorted),
               [](double level) { return level > silent_block_dbfs; });
  if (sorted.empty()) return {lowest_dbfs, std::nullopt};
  std::sort(sorted.begin(), sorted.end());
  LevelReading reading{percentile(sorted, loud_percentile), std::nullopt};
  const auto floor_dbfs = noise_floor_dbfs(levels, percentile(sorted, quiet_percentile));
  if (!floor_dbfs) return reading;
  const double snr_db = reading.level_dbfs - *floor_dbfs;
  const bool is_floor = floor == NoiseFloorPolicy::accept_tonal || snr_db >= floor_whatever_its_sound_db ||
                        floor_periodicity(samples, levels) < tone_from_periodicity;
  if (is_floor) reading.snr_db = snr_db;
  return reading;
}

}  // namespace firmus::audio
