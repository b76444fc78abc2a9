#include "reverberation.hpp"

#include <cmath>

#include "synth.hpp"

namespace firmus::support {

void add_reverberation(std::vector<float>& samples, int rate_hz, double to_60_db_s, double under_direct_db,
                       std::uint64_t seed) {
  constexpr double taps_per_s = 1500, first_s = 0.006;
  synth::Random random(seed);
  struct Tap {
    std::size_t delay;
    float gain;
  };
  std::vector<Tap> taps;
  double power = 0;
  for (double t = first_s; t < to_60_db_s; t += 1 / taps_per_s) {
    const double gain = (random.uniform() < 0.5 ? -1 : 1) * std::pow(10, -3 * t / to_60_db_s);
    taps.push_back({static_cast<std::size_t>((t + random.uniform() / taps_per_s) * rate_hz), static_cast<float>(gain)});
    power += gain * gain;
  }
  const auto scale = static_cast<float>(std::pow(10, -under_direct_db / 20) / std::sqrt(power));
  const std::vector<float> dry = samples;
  for (const Tap& tap : taps) {
    const float gain = scale * tap.gain;
    for (std::size_t i = tap.delay; i < dry.size(); ++i) samples[i] += gain * dry[i - tap.delay];
  }
}

}  // namespace firmus::support
