#include "harmonic_tone.hpp"

#include <cmath>
#include <numbers>

#include "firmus/tone.hpp"

namespace firmus::practice {
namespace {

constexpr int max_harmonics = 8;
constexpr double rolloff_exponent = 1.6;  // amplitude k^-1.6, chosen by ear: clear pitch, mild timbre
constexpr double highest_hz = 0.42 * tone_rate_hz;

}  // namespace

HarmonicTone::HarmonicTone(double hz) : hz_(hz) {
  double power = 0;
  for (int k = 1; k <= max_harmonics && (k == 1 || k * hz < highest_hz); ++k) {
    amplitudes_.push_back(std::pow(k, -rolloff_exponent));
    power += amplitudes_.back() * amplitudes_.back() / 2;
  }
  for (double& amplitude : amplitudes_) amplitude /= std::sqrt(power);
}

double HarmonicTone::at(double seconds) const {
  // sin(kx) = 2 cos(x) sin((k-1)x) - sin((k-2)x) (Chebyshev), from the fraction of the cycle.
  const double cycles = hz_ * seconds;
  const double x = 2 * std::numbers::pi * (cycles - std::floor(cycles));
  const double twice_cosine = 2 * std::cos(x);
  double before = 0, now = std::sin(x), sum = 0;
  for (const double amplitude : amplitudes_) {
    sum += amplitude * now;
    const double next = twice_cosine * now - before;
    before = now;
    now = next;
  }
  return sum;
}

}  // namespace firmus::practice
