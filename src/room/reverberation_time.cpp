// How long the room sounds on. A sound that ends shows it twice: the level cannot fall faster than the room allows, and
// once the direct sound is gone each band falls along a line of -60 dB in the reverberation time.
#include <algorithm>
#include <array>
#include <cmath>

#include "base/percentile.hpp"
#include "room.hpp"
#include "spectra.hpp"

namespace firmus::room {
namespace {

constexpr double looked_at_s = 300;
constexpr double silent_power = 1e-12;

double decibels(double power) {
  return 10 * std::log10(power + silent_power);
}

// A quick look at the level: in a hall it cannot fall this far. Of 312 takes with known rooms (seed 41) none in a room
// of 1.8 s or more does; 43 of 51 real ones do.
constexpr int level_window = 512, level_reach = 5;  // 32 ms; 160 ms
constexpr double dry_fall_db = 24, loud_within_db = 15;
constexpr int dry_falls = 2;

std::vector<float> levels_of(const Samples& samples, std::int64_t count) {
  std::vector<float> levels;
  std::array<float, level_window> block;
  for (std::int64_t at = 0; at + level_window <= count; at += level_window) {
    samples.read(at, block);
    float power = 0;
    for (const float value : block) power += value * value;
    levels.push_back(static_cast<float>(decibels(power / level_window)));
  }
  return levels;
}

bool falls_faster_than_a_hall(const std::vector<float>& levels) {
  if (levels.size() <= level_reach) return true;
  const double loud_db = percentile(levels, 0.95) - loud_within_db;
  int falls = 0;
  for (std::size_t i = 0; i + level_reach < levels.size(); ++i) {
    const auto after = levels.begin() + static_cast<std::ptrdiff_t>(i);
    falls += levels[i] > loud_db && levels[i] - *std::min_element(after, after + level_reach + 1) >= dry_fall_db;
  }
  return falls >= dry_falls;
}

// Bands of an eighth of an octave, so that one holds few harmonics.
constexpr int decay_window = 1024, decay_hop = 256;  // 64 ms, 16 ms
constexpr int bands = 32;
constexpr double lowest_hz = 250, highest_hz = 4000;

using BandLevels = std::vector<std::array<float, bands>>;

BandLevels band_levels_of(const Samples& samples, std::int64_t count) {
  std::array<int, bands + 1> edges{};
  for (int band = 0; band <= bands; ++band)
    edges[static_cast<std::size_t>(band)] =
        static_cast<int>(std::ceil(lowest_hz * std::pow(highest_hz / lowest_hz, static_cast<double>(band) / bands) *
                                   decay_window / Samples::rate_hz));
  const std::vector<float> window = periodic_hann(decay_window);
  RealFft fft(decay_window);
  BandLevels levels;
  for (std::int64_t at = 0; at + decay_window <= count; at += decay_hop) {
    samples.read(at, fft.values());
    for (std::size_t i = 0; i < window.size(); ++i) fft.values()[i] *= window[i];
    fft.forward();
    std::array<float, bands> level{};
    for (std::size_t band = 0; band < bands; ++band) {
      double power = 0;
      for (int bin = edges[band]; bin < edges[band + 1]; ++bin)
        power += std::norm(fft.bins()[static_cast<std::size_t>(bin)]);
      level[band] = static_cast<float>(decibels(power));
    }
    levels.push_back(level);
  }
  return levels;
}

// A sound in a band ends where its level, still within 18 dB of the band's top, falls 6 dB in 0.1 s and does not rise
// again. What follows for 0.16 s is the room's.
constexpr int end_frames = 6, tail_frames = 10;
constexpr double end_fall_db = 6, ends_within_db = 18, may_rise_db = 2, above_noise_db = 6, least_range_db = 25;
constexpr double least_slope_db_per_s = 1;

/// Reverberation times that the ends in one band show; 0 where the tail is in the noise at once.
void add_decays(const std::vector<float>& level, std::vector<float>& times_s) {
  const double floor = percentile(level, 0.05), top = percentile(level, 0.98);
  if (top - floor < least_range_db) return;
  constexpr double tail_s = static_cast<double>(tail_frames * decay_hop) / Samples::rate_hz;
  for (std::size_t i = 0; i + end_frames + tail_frames < level.size(); ++i) {
    const auto tail = level.begin() + static_cast<std::ptrdiff_t>(i + end_frames);
    if (level[i] <= top - ends_within_db || level[i] - *tail < end_fall_db) continue;
    const auto [lowest, highest] = std::minmax_element(tail, tail + tail_frames + 1);
    if (*highest > *tail + may_rise_db) continue;
    const double slope = std::max(least_slope_db_per_s, static_cast<double>(*tail - tail[tail_frames]) / tail_s);
    times_s.push_back(*lowest < floor + above_noise_db ? 0 : static_cast<float>(60 / slope));
  }
}

std::vector<float> decays_of(const BandLevels& levels) {
  std::vector<float> times_s, level(levels.size());
  for (std::size_t band = 0; band < bands; ++band) {
    for (std::size_t i = 0; i < levels.size(); ++i) level[i] = levels[i][band];
    add_decays(level, times_s);
  }
  return times_s;
}

// Tails overlap with what still sounds and look longer than the room: a low quantile tells whether the room is large
// (0.99 to 1.5 in rooms of 1.8 to 2.5 s, 0.85 at most elsewhere, a piano's chords at -6 dB included; seed 41), a
// higher one how large.
constexpr double deciding_share = 0.25, large_from_s = 0.87, time_share = 0.4;
constexpr double least_s = 1, most_s = 3;
constexpr std::size_t fewest_decays = 100;

}  // namespace
}  // namespace firmus::room

namespace firmus {

std::optional<Seconds> estimate_long_reverberation(const Samples& samples) {
  using namespace room;
  const auto count = std::min<std::int64_t>(samples.size(), static_cast<std::int64_t>(looked_at_s * Samples::rate_hz));
  if (falls_faster_than_a_hall(levels_of(samples, count))) return std::nullopt;
  const BandLevels levels = band_levels_of(samples, count);
  if (levels.size() <= end_frames + tail_frames) return std::nullopt;
  const std::vector<float> times_s = decays_of(levels);
  if (times_s.size() < fewest_decays || percentile(times_s, deciding_share) < large_from_s) return std::nullopt;
  return Seconds(std::clamp(percentile(times_s, time_share), least_s, most_s));
}

}  // namespace firmus
