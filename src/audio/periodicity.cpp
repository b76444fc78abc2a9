#include "periodicity.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::audio {
namespace {

float dot(const float* a, const float* b, std::size_t length) {
  float sum = 0;
#pragma omp simd reduction(+ : sum)
  for (std::size_t i = 0; i < length; ++i) sum += a[i] * b[i];
  return sum;
}

double square(float value) {
  return static_cast<double>(value) * static_cast<double>(value);
}

}  // namespace

double remove_mean(std::span<float> excerpt) {
  if (excerpt.empty()) return 0;
  double sum = 0;
  for (const float value : excerpt) sum += static_cast<double>(value);
  const auto mean = static_cast<float>(sum / static_cast<double>(excerpt.size()));
  double energy = 0;
  for (float& value : excerpt) {
    value -= mean;
    energy += static_cast<double>(value) * static_cast<double>(value);
  }
  return std::sqrt(energy / static_cast<double>(excerpt.size()));
}

double periodicity(std::span<const float> excerpt, double rate_hz) {
  std::vector<float> centred(excerpt.begin(), excerpt.end());
  remove_mean(centred);
  const auto longest = std::min(static_cast<std::size_t>(rate_hz / lowest_period_hz), centred.size() / 2);
  const std::size_t length = centred.size() - longest;
  const float* const x = centred.data();
  const auto fixed_energy = static_cast<double>(dot(x, x, length));
  double moved_energy = fixed_energy, best = 0;
  bool crossed = false;
  for (std::size_t lag = 1; lag <= longest; ++lag) {
    moved_energy += square(x[lag + length - 1]) - square(x[lag - 1]);
    const double energy = fixed_energy + moved_energy;
    if (energy <= 0) continue;
    const auto cross = static_cast<double>(dot(x, x + lag, length));
    crossed = crossed || cross < 0;
    if (crossed && static_cast<double>(lag) >= rate_hz / highest_period_hz) best = std::max(best, 2 * cross / energy);
  }
  return std::min(best, 1.0);
}

}  // namespace firmus::audio
