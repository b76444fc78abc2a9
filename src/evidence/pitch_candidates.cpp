#include "pitch_candidates.hpp"

#include <algorithm>
#include <cmath>

namespace firmus {
namespace {

constexpr float short_period_bias_per_octave = 0.03F;  // as in the pitch line, where ties are decided

constexpr double periods_in_frame = 3.0;
constexpr int shortest_frame_samples = 768;  // 48 ms: shorter frames lose low voices, longer ones smear quick notes

int frame_for(const PitchRange& range) {
  return std::max(shortest_frame_samples,
                  static_cast<int>(std::ceil(periods_in_frame * Samples::rate_hz / range.lowest_hz)));
}

}  // namespace

PitchCandidates::PitchCandidates(const PitchRange& range)
    : shortest_lag_(std::max(2, static_cast<int>(Samples::rate_hz / range.highest_hz))),
      longest_lag_(static_cast<int>(std::ceil(Samples::rate_hz / range.lowest_hz)) + 1),
      frame_samples_(frame_for(range)),
      fft_(RealFft::good_size(frame_samples_ + longest_lag_ + 1)),
      nsd_(static_cast<std::size_t>(longest_lag_) + 2) {}

void PitchCandidates::square_difference(std::span<const float> frame) {
  const auto time = fft_.time();
  std::copy(frame.begin(), frame.end(), time.begin());
  std::fill(time.begin() + frame_samples_, time.end(), 0.0F);
  fft_.forward();
  for (auto& bin : fft_.bins()) bin = {std::norm(bin), 0.0F};
  fft_.inverse();
  // m(lag) loses one sample at each end as the lag grows; in double, since the sums cancel in quiet tails.
  const double scale = 1.0 / fft_.size();
  double energy = 2.0 * time[0] * scale;
  nsd_[0] = 1.0F;
  for (int lag = 1; lag <= longest_lag_ + 1; ++lag) {
    const float first = frame[static_cast<std::size_t>(lag - 1)];
    const float last = frame[static_cast<std::size_t>(frame_samples_ - lag)];
    energy -= static_cast<double>(first) * first + static_cast<double>(last) * last;
    nsd_[static_cast<std::size_t>(lag)] =
        energy > 1e-12 ? static_cast<float>(2.0 * time[static_cast<std::size_t>(lag)] * scale / energy) : 0.0F;
  }
}

void PitchCandidates::find(std::span<const float> frame, std::vector<PitchCandidate>& found) {
  square_difference(frame);
  const std::size_t first = found.size();
  for (int lag = std::max(2, shortest_lag_); lag <= longest_lag_; ++lag) {
    const float before = nsd_[static_cast<std::size_t>(lag - 1)];
    const float here = nsd_[static_cast<std::size_t>(lag)];
    const float after = nsd_[static_cast<std::size_t>(lag + 1)];
    if (here < least_strength || here < before || here <= after) continue;
    const float curve = before - 2 * here + after;
    const float shift = curve < 0 ? std::clamp(0.5F * (before - after) / curve, -0.5F, 0.5F) : 0.0F;
    const float strength = std::min(1.0F, here - 0.25F * (before - after) * shift);
    found.push_back({static_cast<float>(Samples::rate_hz) / (static_cast<float>(lag) + shift), strength});
  }
  // A high note has many multiples of its period in range, all as strong; short periods must not be crowded out.
  const auto rank = [](const PitchCandidate& c) {
    return c.strength + short_period_bias_per_octave * std::log2(c.f0_hz);
  };
  std::stable_sort(found.begin() + static_cast<std::ptrdiff_t>(first), found.end(),
                   [&](const PitchCandidate& a, const PitchCandidate& b) { return rank(a) > rank(b); });
  if (found.size() - first > most) found.resize(first + most);
}

}  // namespace firmus
