#include "resample.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <numeric>

#include "base/simd.hpp"

namespace firmus::audio {
namespace {

/// Stop-band attenuation, dB. At 80 the alias of a full-scale tone is below the noise of any phone.
constexpr double stop_band_db = 80;
/// Half the transition, as a share of the lower Nyquist frequency: 6.6 to 9.4 kHz at 16 kHz. Narrower costs taps in
/// proportion; pitch evidence ends at about 5 kHz.
constexpr double half_transition = 0.175;
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

/// Outputs computed together, to share the overhead of the loop.
constexpr int outputs_per_group = 4;

/// The filter bank for one cycle of `up` outputs, and the position of the next output in it.
struct Position {
  const float* bank;          ///< rows of `taps`
  const std::int32_t* first;  ///< of each row: its first input, counted from `origin`
  const float* buffer;
  std::int64_t origin;  ///< index in `buffer` where the cycle's first row starts; may lie before it
  std::int64_t up, down, taps, row;
};

/// The sums over the lanes of four vectors, in a fixed order.
FIRMUS_INLINE void total(const float8 (&sums)[outputs_per_group], float* out) {
  HalfLanes half[outputs_per_group];
  for (int k = 0; k < outputs_per_group; ++k) {
    HalfLanes high;
    std::memcpy(&half[k], &sums[k], sizeof high);
    std::memcpy(&high, reinterpret_cast<const char*>(&sums[k]) + sizeof high, sizeof high);
    half[k] += high;
  }
  const HalfLanes first =
      __builtin_shufflevector(half[0], half[1], 0, 4, 1, 5) + __builtin_shufflevector(half[0], half[1], 2, 6, 3, 7);
  const HalfLanes last =
      __builtin_shufflevector(half[2], half[3], 0, 4, 1, 5) + __builtin_shufflevector(half[2], half[3], 2, 6, 3, 7);
  const HalfLanes all =
      __builtin_shufflevector(first, last, 0, 1, 4, 5) + __builtin_shufflevector(first, last, 2, 3, 6, 7);
  std::memcpy(out, &all, sizeof all);
}

/// Makes `groups` times `together` outputs from `at` on.
FIRMUS_MULTIVERSION void filter(Position at, std::int64_t groups, float* out) {
  for (std::int64_t group = 0; group < groups; ++group, out += outputs_per_group) {
    const float* const taps = at.bank + at.row * at.taps;
    const float* const in0 = at.buffer + (at.origin + at.first[at.row]);
    const float* const in1 = at.buffer + (at.origin + at.first[at.row + 1]);
    const float* const in2 = at.buffer + (at.origin + at.first[at.row + 2]);
    const float* const in3 = at.buffer + (at.origin + at.first[at.row + 3]);
    float8 sums[outputs_per_group] = {};
    for (std::int64_t i = 0; i < at.taps; i += lanes) {
      add_product(taps + i, in0 + i, sums[0]);
      add_product(taps + at.taps + i, in1 + i, sums[1]);
      add_product(taps + 2 * at.taps + i, in2 + i, sums[2]);
      add_product(taps + 3 * at.taps + i, in3 + i, sums[3]);
    }
    total(sums, out);
    for (at.row += outputs_per_group; at.row >= at.up; at.row -= at.up) at.origin += at.down;
  }
}

}  // namespace

Resampler::Resampler(int from_hz, int to_hz) {
  const int common = std::gcd(from_hz, to_hz);
  up_ = to_hz / common;
  down_ = from_hz / common;
  if (up_ == down_) return;  // equal rates: samples are passed through
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
  const std::int64_t rows =
      up_ + outputs_per_group - 1;  // the first rows are repeated at the end, so that a group never wraps around
  bank_.resize(static_cast<std::size_t>(rows * 2 * half_));
  std::vector<double> taps(static_cast<std::size_t>(2 * half_));
  for (std::int64_t row = 0; row < rows; ++row) {
    first_of_row_.push_back(static_cast<std::int32_t>(row * down_ / up_));
    const double phase = static_cast<double>(row * down_ % up_) / static_cast<double>(up_);
    double sum = 0;
    for (std::int64_t i = 0; i < 2 * half_; ++i) {
      const double at = static_cast<double>(i - (half_ - 1)) - phase;  // in input samples from the output's instant
      const double edge = at / static_cast<double>(half_);
      const double window = bessel_i0(beta * std::sqrt(std::max(0.0, 1 - edge * edge)));
      sum += taps[static_cast<std::size_t>(i)] = sinc(cutoff * at) * window;
    }
    // Every row has unit gain at 0 Hz; otherwise the output would be modulated at the rate of the cycle.
    float* const target = bank_.data() + row * 2 * half_;
    std::transform(taps.begin(), taps.end(), target, [&](double tap) { return static_cast<float>(tap / sum); });
  }
}

/// Makes the outputs up to `end`, rounded up or down to whole groups; then drops the inputs that are no longer needed.
void Resampler::produce(std::int64_t end, std::vector<float>& out) {
  if (end <= outputs_) return;
  const std::int64_t groups = (end - outputs_) / outputs_per_group;
  const std::size_t made = out.size();
  out.resize(made + static_cast<std::size_t>(groups * outputs_per_group));
  const std::int64_t origin = outputs_ / up_ * down_ - (half_ - 1) - buffer_begin_;
  const Position at{bank_.data(), first_of_row_.data(), buffer_.data(), origin, up_, down_, 2 * half_, outputs_ % up_};
  filter(at, groups, out.data() + made);
  outputs_ += groups * outputs_per_group;
  const std::int64_t next_first = outputs_ / up_ * down_ + outputs_ % up_ * down_ / up_ - (half_ - 1);
  const std::int64_t spare = std::min(next_first - buffer_begin_, static_cast<std::int64_t>(buffer_.size()));
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
  const std::int64_t wanted = (inputs_ * up_ + down_ - 1) / down_;
  const std::int64_t past_end = 2 * half_ + outputs_per_group * (down_ / up_ + 1);
  buffer_.insert(buffer_.end(), static_cast<std::size_t>(past_end), 0.0F);
  produce(wanted + outputs_per_group - 1, out);
  out.resize(out.size() - static_cast<std::size_t>(outputs_ - wanted));
}

}  // namespace firmus::audio
