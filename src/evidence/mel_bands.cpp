#include "mel_bands.hpp"

#include <cmath>
#include <numbers>

#include "firmus/audio.hpp"

namespace firmus {
namespace {

constexpr int fft_size = 512;
constexpr double lowest_hz = 60, highest_hz = 7600;
constexpr float silence_power = 1e-10F;  // -100 dB: below any recording

double mel_from_hz(double hz) {
  return 2595.0 * std::log10(1.0 + hz / 700.0);
}
double hz_from_mel(double mel) {
  return 700.0 * (std::pow(10.0, mel / 2595.0) - 1.0);
}

}  // namespace

MelBands::MelBands() : fft_(fft_size), window_(frame_samples), power_(fft_size / 2 + 1) {
  double sum = 0;
  for (int i = 0; i < frame_samples; ++i) {
    const double value = 0.5 - 0.5 * std::cos(2 * std::numbers::pi * (i + 0.5) / frame_samples);
    window_[static_cast<std::size_t>(i)] = static_cast<float>(value);
    sum += value;
  }
  for (auto& value : window_) value = static_cast<float>(value * 2 / sum);  // a full-scale sine peaks at 0 dB
  const double step = (mel_from_hz(highest_hz) - mel_from_hz(lowest_hz)) / (triangles + 1);
  const auto bin_of = [&](int edge) {
    return hz_from_mel(mel_from_hz(lowest_hz) + edge * step) * fft_size / Samples::rate_hz;
  };
  for (int t = 0; t < triangles; ++t) {
    const double low = bin_of(t), top = bin_of(t + 1), high = bin_of(t + 2);
    auto& triangle = triangles_[static_cast<std::size_t>(t)];
    triangle.first_bin = static_cast<int>(std::ceil(low));
    for (int bin = triangle.first_bin; bin <= static_cast<int>(high); ++bin)
      triangle.weight.push_back(
          static_cast<float>(bin <= top ? (bin - low) / (top - low) : (high - bin) / (high - top)));
  }
}

std::array<float, MelBands::bands> MelBands::levels_db(std::span<const float> frame) {
  const auto time = fft_.time();
  for (std::size_t i = 0; i < frame_samples; ++i) time[i] = frame[i] * window_[i];
  for (std::size_t i = frame_samples; i < fft_size; ++i) time[i] = 0;
  fft_.forward();
  const auto bins = fft_.bins();
  for (std::size_t i = 0; i < power_.size(); ++i) power_[i] = std::norm(bins[i]);
  std::array<float, bands> levels{};
  constexpr int per_band = triangles / bands;
  for (int t = 0; t < triangles; ++t) {
    const auto& triangle = triangles_[static_cast<std::size_t>(t)];
    float power = silence_power;
    for (std::size_t i = 0; i < triangle.weight.size(); ++i)
      power += triangle.weight[i] * power_[static_cast<std::size_t>(triangle.first_bin) + i];
    levels[static_cast<std::size_t>(t / per_band)] += 10.0F * std::log10(power) / per_band;
  }
  return levels;
}

}  // namespace firmus
