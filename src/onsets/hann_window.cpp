#include "hann_window.hpp"

#include <cmath>
#include <numbers>

namespace firmus::onsets {

std::vector<float> hann_window(int samples) {
  std::vector<float> window(static_cast<std::size_t>(samples));
  double sum = 0;
  for (int i = 0; i < samples; ++i) {
    const double value = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * (i + 0.5) / samples);
    window[static_cast<std::size_t>(i)] = static_cast<float>(value);
    sum += value;
  }
  for (auto& value : window) value = static_cast<float>(value * 2 / sum);
  return window;
}

}  // namespace firmus::onsets
