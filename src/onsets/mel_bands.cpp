#include "mel_bands.hpp"

#include <cmath>

#include "fast_math.hpp"
#include "firmus/audio.hpp"
#include "hann_window.hpp"

namespace firmus::onsets {
namespace {

constexpr int fft_size = 512;
constexpr double lowest_hz = 60, bands_highest_hz = 7600;
constexpr float silent_band_power = 1e-10F;  // -100 dB: below any recording

double mel_from_hz(double hz) {
  return 2595.0 * std::log10(1.0 + hz / 700.0);
}
double hz_from_mel(double mel) {
  return 700.0 * (std::pow(10.0, mel / 2595.0) - 1.0);
}

FIRMUS_MULTIVERSION float weighted(const float* power, const float* weight, std::size_t count) {
  float8 sum{};
  for (std::size_t i = 0; i < count; i += lanes) add_product(power + i, weight + i, sum);
  return total(sum);
}

FIRMUS_MULTIVERSION void to_decibels(float* powers, int count) {
  for (int i = 0; i < count; i += lanes) {
    float8 power, level;
    load(powers + i, power);
    decibels_of(power, level);
    store(level, powers + i);
  }
}

}  // namespace

MelBands::MelBands() : fft_(fft_size), window_(hann_window(frame_samples)) {
  for (auto& power : powers_) power.assign(fft_size / 2 + lanes, 0.0F);
  const double step = (mel_from_hz(bands_highest_hz) - mel_from_hz(lowest_hz)) / (triangles + 1);
  const auto bin_of = [&](int edge) {
    return hz_from_mel(mel_from_hz(lowest_hz) + edge * step) * fft_size / Samples::rate_hz;
  };
  for (int t = 0; t < triangles; ++t) {
    const double low = bin_of(t), top = bin_of(t + 1), high = bin_of(t + 2);
    auto& [first, weight] = triangles_[static_cast<std::size_t>(t)];
    const int first_bin = static_cast<int>(std::ceil(low));
    first = first_bin - 1;  // powers start with bin 1
    for (int bin = first_bin; bin <= static_cast<int>(high); ++bin)
      weight.push_back(static_cast<float>(bin <= top ? (bin - low) / (top - low) : (high - bin) / (high - top)));
    weight.resize((weight.size() + lanes - 1) / lanes * lanes);
  }
}

MelBands::Levels MelBands::levels_of(const std::vector<float>& power) const {
  std::array<float, triangles> level;
  static_assert(triangles % lanes == 0);
  for (std::size_t t = 0; t < triangles; ++t) {
    const auto& [first, weight] = triangles_[t];
    level[t] = silent_band_power + weighted(power.data() + first, weight.data(), weight.size());
  }
  to_decibels(level.data(), triangles);
  Levels means{};
  constexpr std::size_t per_band = triangles / bands;
  for (std::size_t t = 0; t < triangles; ++t) means[t / per_band] += level[t] / per_band;
  return means;
}

std::array<MelBands::Levels, 2> MelBands::levels_db(std::span<const float> first, std::span<const float> second) {
  fft_.set(first, second, window_.data());
  fft_.powers(powers_[0], powers_[1]);
  return {levels_of(powers_[0]), levels_of(powers_[1])};
}

}  // namespace firmus::onsets
