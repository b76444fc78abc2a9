#include "steady_pitch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <span>
#include <vector>

#include "base/frames.hpp"

namespace firmus::sources {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double rate_hz = Samples::rate_hz;
constexpr int harmonics = 3;  // those that ring longest
constexpr double least_window_s = 0.05;
constexpr double window_periods = 4;  // neighbouring harmonics are then outside of the main lobe
constexpr double step_s = 0.01;

/// A Hann window times a turning phase, for one harmonic.
class Probe {
 public:
  explicit Probe(double hz, double window_s) : hz_(hz), count_(static_cast<std::size_t>(window_s * rate_hz)) {
    for (std::size_t i = 0; i < count_; ++i) {
      const double at = static_cast<double>(i) + 0.5;
      const double window = 0.5 - 0.5 * std::cos(2 * pi * at / static_cast<double>(count_));
      re_.push_back(static_cast<float>(window * std::cos(2 * pi * hz * at / rate_hz)));
      im_.push_back(static_cast<float>(-window * std::sin(2 * pi * hz * at / rate_hz)));
    }
  }
  double hz() const { return hz_; }
  std::complex<double> operator()(std::span<const float> sound) const {
    float re = 0, im = 0;
#pragma omp simd reduction(+ : re, im)
    for (std::size_t i = 0; i < count_; ++i) {
      re += re_[i] * sound[i];
      im += im_[i] * sound[i];
    }
    return {re, im};
  }

 private:
  double hz_;
  std::size_t count_;
  std::vector<float> re_, im_;
};

}  // namespace

SteadyPitch steady_pitch(const Samples& samples, std::size_t begin, std::size_t end, double hz) {
  const double window_s = std::max(least_window_s, window_periods / hz);
  const auto window = static_cast<std::int64_t>(window_s * rate_hz), step = static_cast<std::int64_t>(step_s * rate_hz);
  const auto hop = frame_hop_samples(Samples::rate_hz);
  const std::int64_t from = static_cast<std::int64_t>(begin) * hop, to = static_cast<std::int64_t>(end) * hop;
  const std::int64_t windows = (to - from - window) / step + 1;
  if (windows < 4) return {hz, 1e9, 0};
  std::vector<float> sound(static_cast<std::size_t>(to - from));
  samples.read(from, sound);
  std::array<std::vector<std::complex<double>>, harmonics> sums;
  std::array<double, harmonics> power{};
  std::vector<Probe> probes;
  for (int k = 1; k <= harmonics; ++k) probes.emplace_back(k * hz, window_s);
  for (std::int64_t w = 0; w < windows; ++w)
    for (std::size_t k = 0; k < harmonics; ++k) {
      const auto sum = probes[k](std::span(sound).subspan(static_cast<std::size_t>(w * step)));
      sums[k].push_back(sum);
      power[k] += std::norm(sum);
    }
  const auto best = static_cast<std::size_t>(std::max_element(power.begin(), power.end()) - power.begin());
  // The windows' own steps turn the phase by 2 pi k hz step; what is left over is the distance from k hz.
  const double reference = probes[best].hz(), turn = 2 * pi * reference * static_cast<double>(step) / rate_hz;
  std::vector<double> cents;
  for (std::size_t w = 1; w < sums[best].size(); ++w) {
    const double phase = std::arg(sums[best][w] * std::conj(sums[best][w - 1]) * std::polar(1.0, -turn));
    cents.push_back(1200 * std::log2(1 + phase / turn));
  }
  const auto n = static_cast<double>(cents.size());
  double sum_x = 0, sum_y = 0, sum_xx = 0, sum_xy = 0, sum_yy = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) {
    const double x = step_s * static_cast<double>(i), y = cents[i];
    sum_x += x, sum_y += y, sum_xx += x * x, sum_xy += x * y, sum_yy += y * y;
  }
  SteadyPitch pitch;
  const double xx = sum_xx - sum_x * sum_x / n, xy = sum_xy - sum_x * sum_y / n, yy = sum_yy - sum_y * sum_y / n;
  pitch.tilt_cents_per_s = xx > 0 ? xy / xx : 0;
  pitch.spread_cents = std::sqrt(std::max(0.0, yy - (xx > 0 ? xy * xy / xx : 0)) / n);
  std::ranges::nth_element(cents, cents.begin() + static_cast<std::ptrdiff_t>(cents.size() / 2));
  pitch.hz = hz * std::exp2(cents[cents.size() / 2] / 1200);
  return pitch;
}

}  // namespace firmus::sources
