#include "simulated_room.hpp"

#include <fftw3.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <memory>
#include <numbers>

#include "room/fft_planner.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

constexpr double sound_m_per_s = 343;
constexpr double high_share = 0.67;  // of the reverberation time, above the crossover
constexpr double crossover_hz = 2000;
constexpr double moved_m = 0.08;  // greatest displacement of an image along each axis
constexpr int sinc_half = 8;      // samples either side of an image's fractional delay

using Point = std::array<double, 3>;

/// Pressure reflection coefficient of all walls for a reverberation time (Eyring 1930; alpha = 1 - beta^2).
double reflection_for(double reverberation_s, const Point& size_m) {
  const double volume = size_m[0] * size_m[1] * size_m[2];
  const double surface = 2 * (size_m[0] * size_m[1] + size_m[1] * size_m[2] + size_m[0] * size_m[2]);
  return std::exp(-0.5 * 0.161 * volume / (surface * reverberation_s));
}

/// A box with sides in the proportion 1 : 1.4 : 1.9, which has no two modes alike (common practice).
Point size_of(double volume_m3) {
  const double height_m = std::cbrt(volume_m3 / (1.4 * 1.9));
  return {1.9 * height_m, 1.4 * height_m, height_m};
}

Point place_in(const Point& size_m, synth::Random& random) {
  Point place{};
  for (std::size_t axis = 0; axis < 3; ++axis) place[axis] = size_m[axis] * random.between(0.15, 0.85);
  return place;
}

void add_pulse(std::vector<double>& response, double at, double gain) {
  const auto middle = static_cast<std::ptrdiff_t>(at);
  for (std::ptrdiff_t i = middle - sinc_half + 1; i <= middle + sinc_half; ++i) {
    if (i < 0 || i >= static_cast<std::ptrdiff_t>(response.size())) continue;
    const double x = static_cast<double>(i) - at;
    const double sinc = std::abs(x) < 1e-9 ? 1 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
    response[static_cast<std::size_t>(i)] += gain * sinc * (0.5 + 0.5 * std::cos(std::numbers::pi * x / sinc_half));
  }
}

/// Every image within reach but the voice itself. `low` and `high` have the walls' reflection below and above the
/// crossover.
class Images {
 public:
  Images(const RoomSound& room, int rate_hz, std::uint64_t seed)
      : random_(seed * 77 + 21),
        size_m_(size_of(room.volume_m3)),
        voice_m_(place_in(size_m_, random_)),
        microphone_m_(place_in(size_m_, random_)),
        rate_hz_(rate_hz),
        low_beta_(reflection_for(room.reverberation_s, size_m_)),
        high_beta_(reflection_for(high_share * room.reverberation_s, size_m_)) {
    const auto taps = static_cast<std::size_t>(room.reverberation_s * rate_hz);
    low.resize(taps), high.resize(taps);
    const double reach_m = room.reverberation_s * sound_m_per_s;
    direct_m_ = distance(voice_m_);
    std::array<int, 3> most{};
    for (std::size_t axis = 0; axis < 3; ++axis) most[axis] = static_cast<int>(reach_m / (2 * size_m_[axis])) + 1;
    for (int x = -most[0]; x <= most[0]; ++x)
      for (int y = -most[1]; y <= most[1]; ++y)
        for (int z = -most[2]; z <= most[2]; ++z) add_mirrored({x, y, z}, reach_m);
  }
  std::vector<double> low, high;

 private:
  double distance(const Point& from) const {
    return std::hypot(from[0] - microphone_m_[0], from[1] - microphone_m_[1], from[2] - microphone_m_[2]);
  }
  void add_mirrored(const std::array<int, 3>& box, double reach_m) {
    for (int mirror = 0; mirror < 8; ++mirror) {
      Point image{};
      int bounces = 0;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        const int flipped = (mirror >> axis) & 1;
        image[axis] = 2 * box[axis] * size_m_[axis] + (flipped ? -voice_m_[axis] : voice_m_[axis]);
        bounces += std::abs(box[axis] - flipped) + std::abs(box[axis]);
      }
      if (bounces == 0) continue;
      for (double& coordinate : image) coordinate += random_.between(-moved_m, moved_m);
      const double metres = std::max(distance(image), direct_m_);
      if (metres - direct_m_ > reach_m) continue;
      const double at = (metres - direct_m_) / sound_m_per_s * rate_hz_;
      add_pulse(low, at, std::pow(low_beta_, bounces) / metres);
      add_pulse(high, at, std::pow(high_beta_, bounces) / metres);
    }
  }
  synth::Random random_;
  Point size_m_, voice_m_, microphone_m_;
  int rate_hz_;
  double low_beta_, high_beta_, direct_m_ = 0;
};

/// One pole; what it takes away is the complement.
std::vector<double> low_pass(const std::vector<double>& values, int rate_hz) {
  const double keep = std::exp(-2 * std::numbers::pi * crossover_hz / rate_hz);
  std::vector<double> out(values.size());
  double state = 0;
  for (std::size_t i = 0; i < values.size(); ++i) out[i] = state = keep * state + (1 - keep) * values[i];
  return out;
}

struct Free {
  void operator()(void* memory) const { fftwf_free(memory); }
};

std::vector<std::complex<float>> spectrum(const std::vector<float>& values, std::size_t size) {
  std::unique_ptr<float[], Free> in(fftwf_alloc_real(size));
  std::vector<std::complex<float>> out(size / 2 + 1);
  fftwf_plan plan = nullptr;
  {
    const std::scoped_lock lock(room::fft_planner());
    plan = fftwf_plan_dft_r2c_1d(static_cast<int>(size), in.get(), reinterpret_cast<fftwf_complex*>(out.data()),
                                 FFTW_ESTIMATE | FFTW_UNALIGNED);
  }
  std::fill_n(in.get(), size, 0.0F);
  std::ranges::copy(values, in.get());
  fftwf_execute(plan);
  const std::scoped_lock lock(room::fft_planner());
  fftwf_destroy_plan(plan);
  return out;
}

std::vector<float> inverse(std::vector<std::complex<float>> bins, std::size_t size, std::size_t wanted) {
  std::vector<float> out(size);
  fftwf_plan plan = nullptr;
  {
    const std::scoped_lock lock(room::fft_planner());
    plan = fftwf_plan_dft_c2r_1d(static_cast<int>(size), reinterpret_cast<fftwf_complex*>(bins.data()), out.data(),
                                 FFTW_ESTIMATE | FFTW_UNALIGNED);
  }
  fftwf_execute(plan);
  out.resize(wanted);
  for (float& value : out) value /= static_cast<float>(size);
  const std::scoped_lock lock(room::fft_planner());
  fftwf_destroy_plan(plan);
  return out;
}

}  // namespace

std::vector<float> impulse_response(const RoomSound& room, int rate_hz, std::uint64_t seed) {
  const Images images(room, rate_hz, seed);
  const std::vector<double> low = low_pass(images.low, rate_hz), of_high = low_pass(images.high, rate_hz);
  std::vector<float> response(low.size());
  double energy = 0;
  for (std::size_t i = 0; i < low.size(); ++i) {
    response[i] = static_cast<float>(low[i] + images.high[i] - of_high[i]);
    energy += static_cast<double>(response[i]) * response[i];
  }
  const auto gain = static_cast<float>(std::pow(10, -room.direct_to_rest_db / 20) / std::sqrt(energy));
  for (float& tap : response) tap *= gain;
  response[0] += 1;
  return response;
}

std::vector<float> convolved(const std::vector<float>& samples, const std::vector<float>& response) {
  std::size_t size = 1;
  while (size < samples.size() + response.size()) size *= 2;
  std::vector<std::complex<float>> bins = spectrum(samples, size);
  const std::vector<std::complex<float>> factors = spectrum(response, size);
  for (std::size_t i = 0; i < bins.size(); ++i) bins[i] *= factors[i];
  return inverse(std::move(bins), size, samples.size());
}

}  // namespace firmus::truth
