#include "pitch_candidates.hpp"

#include <algorithm>
#include <cmath>

#include "base/simd.hpp"
#include "energy.hpp"

namespace firmus::evidence {
namespace {

constexpr float short_period_bias_per_octave = 0.03F;  // as in the f0 track of `pitch`, where ties are decided

constexpr double periods_in_frame = 3.0;
/// With fewer, less than a period and a third of the frame would be compared with the period after it.
constexpr double fewest_periods = 2.3;
constexpr int shortest_frame_samples = 768;  // 48 ms: shorter frames lose low voices, longer ones smear quick notes

/// Sums of squares. Below the first there is no sound; two frames whose energies differ by more than the second factor
/// are transformed apart.
constexpr double least_energy = 1e-12, most_unequal = 1e4;

/// Squares of the frame's first and last samples, added: the terms that m(lag) loses from one lag to the next.
FIRMUS_MULTIVERSION void square_ends(const float* frame, int samples, int lags, float* out) {
  for (int lag = 1; lag <= lags; lag += lanes) {
    float8 first, last;
    load(frame + lag - 1, first);
    load(frame + samples - lag - lanes + 1, last);
    last = __builtin_shufflevector(last, last, 7, 6, 5, 4, 3, 2, 1, 0);
    store(first * first + last * last, out + lag);
  }
}

/// m(lag) to n(lag), in place; every other one of `lag_sums` belongs to the frame.
FIRMUS_MULTIVERSION void normalise(const float* lag_sums, float scale, int lags, float* values) {
  for (int lag = 1; lag <= lags; lag += lanes) {
    float8 energy, early, late;
    load(values + lag, energy);
    load(lag_sums + 2 * lag, early);
    load(lag_sums + 2 * lag + lanes, late);
    const float8 sums = __builtin_shufflevector(early, late, 0, 2, 4, 6, 8, 10, 12, 14);
    const float8 ratio = scale * sums / energy;
    store(energy > static_cast<float>(least_energy) ? ratio : float8{}, values + lag);
  }
}

int frame_for(const PitchRange& range) {
  return std::max(shortest_frame_samples,
                  static_cast<int>(std::ceil(periods_in_frame * Samples::rate_hz / range.full_frames_from_hz())));
}

/// The lag of the lowest pitch, if the frame holds enough periods of it.
int longest_lag_for(const PitchRange& range) {
  return std::min(static_cast<int>(std::ceil(Samples::rate_hz / range.lowest_hz)),
                  static_cast<int>(frame_for(range) / fewest_periods)) +
         1;
}

}  // namespace

PitchCandidates::PitchCandidates(const PitchRange& range)
    : shortest_lag_(std::max(2, static_cast<int>(Samples::rate_hz / range.highest_hz))),
      longest_lag_(longest_lag_for(range)),
      frame_samples_(frame_for(range)),
      fft_(PairFft::good_size(frame_samples_ + longest_lag_ + 1)),
      nsdf_(static_cast<std::size_t>(longest_lag_) + 2 + lanes),
      no_frame_(static_cast<std::size_t>(frame_samples_)) {}

void PitchCandidates::square_difference(std::span<const float> frame, double energy, const float* lag_sums) {
  const int lags = longest_lag_ + 1;
  square_ends(frame.data(), frame_samples_, lags, nsdf_.data());
  // m(lag) loses one sample at each end as the lag grows; in double, since the sums cancel in quiet tails.
  double both = 2 * energy;
  for (int lag = 1; lag <= lags; ++lag) {
    float& here = nsdf_[static_cast<std::size_t>(lag)];
    both -= static_cast<double>(here);
    here = static_cast<float>(both);
  }
  normalise(lag_sums, 2.0F / static_cast<float>(fft_.size()), lags, nsdf_.data());
  nsdf_[0] = 1.0F;
}

/// `lag_sums`: every other value belongs to this frame.
void PitchCandidates::pick(std::span<const float> frame, double energy, const float* lag_sums, Found& found) {
  square_difference(frame, energy, lag_sums);
  for (int lag = std::max(2, shortest_lag_); lag <= longest_lag_; ++lag) {
    const float before = nsdf_[static_cast<std::size_t>(lag - 1)];
    const float here = nsdf_[static_cast<std::size_t>(lag)];
    const float after = nsdf_[static_cast<std::size_t>(lag + 1)];
    if (here < least_nsdf_peak || here < before || here <= after) continue;
    const float curve = before - 2 * here + after;
    const float shift = curve < 0 ? std::clamp(0.5F * (before - after) / curve, -0.5F, 0.5F) : 0.0F;
    const float peak = std::min(1.0F, here - 0.25F * (before - after) * shift);
    found.push_back({static_cast<float>(Samples::rate_hz) / (static_cast<float>(lag) + shift), peak});
  }
  // A high note has many multiples of its period in range, all with peaks as high; short periods must stay on the list.
  const auto rank = [](const PitchCandidate& c) {
    return c.nsdf_peak + short_period_bias_per_octave * std::log2(c.f0_hz);
  };
  std::stable_sort(found.begin(), found.end(),
                   [&](const PitchCandidate& a, const PitchCandidate& b) { return rank(a) > rank(b); });
  if (found.size() > most) found.resize(most);
}

void PitchCandidates::search(std::span<const float> first, std::span<const float> second, double first_energy,
                             double second_energy) {
  fft_.set(first, second);
  const auto* lag_sums = reinterpret_cast<const float*>(fft_.autocorrelations().data());
  if (2 * first_energy > least_energy) pick(first, first_energy, lag_sums, found_[0]);
  if (2 * second_energy > least_energy) pick(second, second_energy, lag_sums + 1, found_[1]);
}

const std::array<PitchCandidates::Found, 2>& PitchCandidates::find(std::span<const float> first,
                                                                   std::span<const float> second) {
  if (second.empty()) second = no_frame_;
  for (auto& found : found_) found.clear();
  const double first_energy = energy_of(first), second_energy = energy_of(second);
  const auto [less, more] = std::minmax(first_energy, second_energy);
  if (2 * more <= least_energy) return found_;
  if (more <= most_unequal * less) {
    search(first, second, first_energy, second_energy);
  } else {  // the quieter one would be lost in the rounding errors of the other
    search(first, no_frame_, first_energy, 0);
    search(no_frame_, second, 0, second_energy);
  }
  return found_;
}

}  // namespace firmus::evidence
