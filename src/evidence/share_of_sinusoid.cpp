#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "base/frames.hpp"
#include "evidence/evidence.hpp"

namespace firmus {

double share_of_sinusoid(const Samples& samples, std::size_t frame, double hz) {
  constexpr double periods = 4;  // the main lobe of the window then ends at the harmonics beside
  const auto count = static_cast<std::size_t>(periods * Samples::rate_hz / hz);
  std::vector<float> sound(count);
  samples.read(
      static_cast<std::int64_t>(frame) * frame_hop_samples(Samples::rate_hz) - static_cast<std::int64_t>(count / 2),
      sound);
  double window_sum = 0, window_power = 0, power = 0, mean = 0;
  for (const float value : sound) mean += static_cast<double>(value) / static_cast<double>(count);
  std::complex<double> sum = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = static_cast<double>(i) + 0.5;
    const double window = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * at / static_cast<double>(count));
    const double value = window * (static_cast<double>(sound[i]) - mean);
    sum += std::polar(value, -2 * std::numbers::pi * hz * at / Samples::rate_hz);
    power += value * value;
    window_sum += window;
    window_power += window * window;
  }
  if (power <= 0) return 0;
  return std::min(1.0, 2 * std::norm(sum) / (window_sum * window_sum) / (power / window_power));
}

}  // namespace firmus
