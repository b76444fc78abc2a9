#include "periodicity.hpp"

#include <algorithm>
#include <cmath>

namespace firmus {
namespace {

struct Products {
  float cross, energy;
};

Products products(std::span<const float> x, std::size_t lag, std::size_t length) {
  float cross = 0, energy = 0;
  const float* const a = x.data();
  const float* const b = x.data() + lag;
#pragma omp simd reduction(+ : cross, energy)
  for (std::size_t i = 0; i < length; ++i) {
    cross += a[i] * b[i];
    energy += a[i] * a[i] + b[i] * b[i];
  }
  return {cross, energy};
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
  double best = 0;
  bool crossed = false;
  for (std::size_t lag = 1; lag <= longest; ++lag) {
    const auto [cross, energy] = products(centred, lag, length);
    if (energy <= 0) continue;
    crossed = crossed || cross < 0;
    if (crossed && static_cast<double>(lag) >= rate_hz / highest_period_hz)
      best = std::max(best, 2.0 * static_cast<double>(cross / energy));
  }
  return best;
}

}  // namespace firmus
