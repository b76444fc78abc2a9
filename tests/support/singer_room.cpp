// The room: reflections, noise, level.
#include <algorithm>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr int reflections = 90;
constexpr double first_reflection_s = 0.007;

std::vector<double> with_reflections(const std::vector<double>& dry, const Room& room, std::uint64_t seed) {
  std::vector<double> wet = dry;
  if (room.reverb_s <= first_reflection_s) return wet;
  Random random(seed, 31);
  std::vector<std::pair<std::size_t, double>> taps;
  double power = 0;
  for (int i = 0; i < reflections; ++i) {
    const double delay_s = random.uniform(first_reflection_s, room.reverb_s);
    const double gain = (random.uniform() < 0.5 ? -1 : 1) * std::pow(10, -3 * delay_s / room.reverb_s);
    taps.emplace_back(static_cast<std::size_t>(delay_s * rate_hz), gain);
    power += gain * gain;
  }
  const double scale = std::pow(10, room.reverb_db / 20) / std::sqrt(power);
  for (const auto& [delay, gain] : taps) {
    for (std::size_t i = delay; i < dry.size(); ++i) wet[i] += scale * gain * dry[i - delay];
  }
  return wet;
}

// White noise and its low-passed part in equal power: most rooms rumble more than they hiss.
void add_room_noise(std::vector<float>& sound, double noise_dbfs, std::uint64_t seed) {
  Random random(seed, 32);
  const double rms = std::pow(10, noise_dbfs / 20);
  const double keep = 0.97;
  double low = 0;
  for (float& value : sound) {
    const double white = random.normal();
    low = keep * low + std::sqrt(1 - keep * keep) * white;
    value += static_cast<float>(rms * (0.5 * white + 0.75 * low));
  }
}

}  // namespace

std::vector<float> record(const std::vector<double>& voice, const Plan& plan) {
  const std::vector<double> wet = with_reflections(voice, plan.room, plan.seed);
  double peak = 1e-9;
  for (const double value : wet) peak = std::max(peak, std::abs(value));
  const double gain = std::pow(10, plan.room.peak_dbfs / 20) / peak;
  std::vector<float> sound(wet.size());
  std::transform(wet.begin(), wet.end(), sound.begin(),
                 [gain](double value) { return static_cast<float>(gain * value); });
  add_room_noise(sound, plan.room.noise_dbfs, plan.seed);
  return sound;
}

}  // namespace firmus::singer
