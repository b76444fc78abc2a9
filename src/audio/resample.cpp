#include "resample.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <numeric>

// The inner loop is also built for AVX2 and picked at load time. Its sums run in eight fixed lanes either way, so that
// both give the same bits.
#if defined(__x86_64__) && defined(__linux__) && !defined(__SANITIZE_ADDRESS__) && !defined(FIRMUS_NO_CLONES)
#define FIRMUS_CLONES __attribute__((target_clones("avx2", "default")))
#else
#define FIRMUS_CLONES
#endif

namespace firmus {
namespace {

/// dB of the stop band. 80: an alias of a full-scale tone stays under the noise of any phone.
constexpr double stop_band_db = 80;
/// Half the transition, as a share of the lower Nyquist frequency: 6.6 to 9.4 kHz at 16 kHz. Narrower costs taps in
/// proportion; pitch evidence ends at about 5 kHz.
constexpr double half_transition = 0.175;
constexpr int lanes = 8;

typedef float Lanes __attribute__((vector_size(lanes * sizeof(float))));
typedef float HalfLanes __attribute__((vector_size(lanes / 2 * sizeof(float))));

/// Modified Bessel function of the first kind, order 0, by its power series.
double bessel_i0(double x) {
  double sum = 1, term = 1;
  const double quarter = x * x / 4;
  for (int k = 1; term > sum * 1e-17; ++k) {
    term *= quarter / (k * k);
    sum += term;
  }
  return sum;
}

double sinc(double x) {
  const double angle = std::numbers::pi * x;
  return std::abs(angle) < 1e-9 ? 1 : std::sin(angle) / angle;
}

/// Where the next output stands: its row in the bank, and its first input.
struct Position {
  const float* bank;
  const float* input;
  std::int64_t up, down, taps, row;
};

/// Makes `count` outputs from `at` on.
FIRMUS_CLONES void filter(const Position& at, std::int64_t count, float* out) {
  const float* input = at.input;
  std::int64_t row = at.row;
  std::int64_t rest = row * at.down % at.up;
  const std::int64_t whole_step = at.down / at.up, rest_step = at.down % at.up;
  for (std::int64_t n = 0; n < count; ++n) {
    const float* taps = at.bank + row * at.taps;
    Lanes sum{};
    for (std::int64_t i = 0; i < at.taps; i += lanes) {
      Lanes a, b;
      std::memcpy(&a, taps + i, sizeof a);
      std::memcpy(&b, input + i, sizeof b);
      sum += a * b;
    }
    HalfLanes low, high;
    std::memcpy(&low, &sum, sizeof low);
    std::memcpy(&high, reinterpret_cast<const char*>(&sum) + sizeof low, sizeof high);
    low += high;
    *out++ = (low[0] + low[2]) + (low[1] + low[3]);
    row = row + 1 == at.up ? 0 : row + 1;
    input += whole_step;
    rest += rest_step;
    if (rest >= at.up) {
      rest -= at.up;
      ++input;
    }
  }
}

}  // namespace

Resampler::Resampler(int from_hz, int to_hz) {
  const int common = std::gcd(from_hz, to_hz);
  up_ = to_hz / common;
  down_ = from_hz / common;
  if (up_ == down_) return;  // nothing to do, and nothing is done
  build_bank(from_hz, to_hz);
  buffer_begin_ = -(half_ - 1);
  buffer_.assign(static_cast<std::size_t>(half_ - 1), 0.0F);
}

void Resampler::build_bank(double from_hz, double to_hz) {
  const double nyquist_hz = std::min(from_hz, to_hz) / 2;
  // Kaiser's formulas for the length and the shape that reach `stop_band_db`.
  const double width_radians = 2 * std::numbers::pi * 2 * half_transition * nyquist_hz / from_hz;
  const double length = (stop_band_db - 8) / (2.285 * width_radians) + 1;
  const double beta = 0.1102 * (stop_band_db - 8.7);
  half_ = static_cast<std::int64_t>(std::ceil(length / lanes)) * lanes / 2;
  const double cutoff = 2 * nyquist_hz / from_hz;
  bank_.resize(static_cast<std::size_t>(up_ * 2 * half_));
  std::vector<double> taps(static_cast<std::size_t>(2 * half_));
  for (std::int64_t row = 0; row < up_; ++row) {
    const double phase = static_cast<double>(row * down_ % up_) / static_cast<double>(up_);
    double sum = 0;
    for (std::int64_t i = 0; i < 2 * half_; ++i) {
      const double at = static_cast<double>(i - (half_ - 1)) - phase;  // in input samples from the output's instant
      const double edge = at / static_cast<double>(half_);
      const double window = bessel_i0(beta * std::sqrt(std::max(0.0, 1 - edge * edge)));
      sum += taps[static_cast<std::size_t>(i)] = sinc(cutoff * at) * window;
    }
    // Every row passes a constant as it is; otherwise the rows would beat against each other.
    float* const target = bank_.data() + row * 2 * half_;
    std::transform(taps.begin(), taps.end(), target, [&](double tap) { return static_cast<float>(tap / sum); });
  }
}

/// The first input that the next output needs.
std::int64_t Resampler::first_input() const {
  return outputs_ / up_ * down_ + outputs_ % up_ * down_ / up_ - (half_ - 1);
}

void Resampler::produce(std::int64_t end, std::vector<float>& out) {
  if (end <= outputs_) return;
  const std::size_t made = out.size();
  out.resize(made + static_cast<std::size_t>(end - outputs_));
  const Position at{bank_.data(),  buffer_.data() + (first_input() - buffer_begin_), up_, down_, 2 * half_,
                    outputs_ % up_};
  filter(at, end - outputs_, out.data() + made);
  outputs_ = end;
  const std::int64_t spare = std::min(first_input() - buffer_begin_, static_cast<std::int64_t>(buffer_.size()));
  buffer_.erase(buffer_.begin(), buffer_.begin() + spare);
  buffer_begin_ += spare;
}

void Resampler::add(std::span<const float> in, std::vector<float>& out) {
  inputs_ += static_cast<std::int64_t>(in.size());
  if (up_ == down_) {
    out.insert(out.end(), in.begin(), in.end());
    return;
  }
  buffer_.insert(buffer_.end(), in.begin(), in.end());
  // The last output whose taps all exist: floor(n * down / up) + half < inputs.
  const std::int64_t last_input = inputs_ - half_;  // n * down / up must stay below this
  if (last_input > 0) produce((last_input * up_ + down_ - 1) / down_, out);
}

void Resampler::finish(std::vector<float>& out) {
  if (up_ == down_) return;
  buffer_.insert(buffer_.end(), static_cast<std::size_t>(2 * half_), 0.0F);
  produce((inputs_ * up_ + down_ - 1) / down_, out);
}

}  // namespace firmus
