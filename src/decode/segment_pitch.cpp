#include "segment_pitch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace firmus::decode {
namespace {

// A frame's pitch given the note's: nine in ten normal with 45 cents (wobble, scoop), else anywhere in two octaves.
// Tuned on annotated takes with a prototype; a spread of 30 to 70 and an outlier share of 5 to 20 % give the same.
constexpr double spread_semitones = 0.45, within_share = 0.9, anywhere_semitones = 24;
// Frames 5 ms apart are far from independent: a weight over 0.05 splits glides and scoops into extra notes.
constexpr float frame_weight = 0.04F;
constexpr float deviation_cents = 60;  // deviation of the sung pitch from the written one in this key that costs 1
constexpr float deviation_cap = 6;     // a wrong note costs no more, however far it is
constexpr int bump_reach = 8;          // grid steps, 2 semitones: beyond it a frame is an outlier

const std::vector<float>& bump() {
  static const std::vector<float> table = [] {
    std::vector<float> values;
    for (int d = -bump_reach; d <= bump_reach; ++d) {
      const double z = d * SegmentPitch::grid_cents / 100 / spread_semitones;
      const double density = std::exp(-z * z / 2) / (spread_semitones * std::sqrt(2 * std::numbers::pi));
      values.push_back(
          static_cast<float>(frame_weight * (std::log(within_share * density * anywhere_semitones + 1 - within_share) -
                                             std::log(1 - within_share))));
    }
    return values;
  }();
  return table;
}

const float outlier = frame_weight * static_cast<float>(std::log(1 - within_share));

// An f0 track that follows the common period of a voice and its accompaniment is below the voice. So a candidate at
// least 4 semitones above the track counts as evidence too, the less the lower its peak is. Of 51 voices alone 50 have
// one in 0 to 3 % of their frames. Candidates below the track are no evidence: each multiple of a period has a peak as
// high.
constexpr float above_semitones = 4, as_good = 0.06F, lower_by_at_most = 0.3F;

double cents_of(float hz) {
  return 6900 + 1200 * std::log2(static_cast<double>(hz) / 440);
}

/// Weight of a candidate beside the f0 track, 0 to 1.
float weight_beside(const PitchCandidate& candidate, float f0_track_hz, float nsdf_peak) {
  static const float above = std::exp2(above_semitones / 12);
  if (candidate.f0_hz < above * f0_track_hz) return 0;
  return std::clamp((lower_by_at_most - (nsdf_peak - candidate.nsdf_peak)) / (lower_by_at_most - as_good), 0.0F, 1.0F);
}

}  // namespace

SegmentPitch::SegmentPitch(const Observations& observed, std::span<const Boundary> boundaries)
    : observed_(observed), boundaries_(boundaries), between_(boundaries.size()), voiced_between_(boundaries.size()) {
  constexpr double margin_cents = 300;
  lowest_cents_ = cents_of(static_cast<float>(observed.evidence.searched.lowest_hz)) - margin_cents;
  size_ = static_cast<int>(
              (cents_of(static_cast<float>(observed.evidence.searched.highest_hz)) + margin_cents - lowest_cents_) /
              grid_cents) +
          1;
  sum_.resize(static_cast<std::size_t>(size_));
  fit_.resize(static_cast<std::size_t>(size_));
}

void SegmentPitch::add_bump(std::vector<float>& sums, float hz, float share) const {
  const int centre = grid_at(cents_of(hz));
  for (int d = -bump_reach; d <= bump_reach; ++d)
    if (centre + d >= 0 && centre + d < size_)
      sums[static_cast<std::size_t>(centre + d)] += share * bump()[static_cast<std::size_t>(d + bump_reach)];
}

/// Sums the log-likelihoods of the frames from boundary `from` to the next.
void SegmentPitch::gather(std::size_t from) {
  auto& sums = between_[from];
  sums.assign(static_cast<std::size_t>(size_), 0.0F);
  const std::size_t end = from + 1 < boundaries_.size() ? boundaries_[from + 1].frame : observed_.end_of_notes();
  for (std::size_t frame = boundaries_[from].frame; frame < end; ++frame) {
    if (!observed_.f0_track.voiced(frame)) continue;
    ++voiced_between_[from];
    const float f0_track_hz = observed_.f0_track.f0_hz[frame];
    add_bump(sums, f0_track_hz, 1);
    for (const PitchCandidate& candidate : observed_.evidence.at(frame))
      if (const float share = weight_beside(candidate, f0_track_hz, observed_.f0_track.nsdf_peak[frame]); share > 0)
        add_bump(sums, candidate.f0_hz, share);
  }
}

void SegmentPitch::forget_before(std::size_t begin) {
  for (; forgotten_ < begin; ++forgotten_) between_[forgotten_] = {};
}

void SegmentPitch::start_at(std::size_t end) {
  begin_ = end;
  voiced_ = 0;
  std::ranges::fill(sum_, 0.0F);
}

void SegmentPitch::extend_back() {
  --begin_;
  if (between_[begin_].empty()) gather(begin_);
  voiced_ += voiced_between_[begin_];
  const auto& add = between_[begin_];
  for (std::size_t q = 0; q < add.size(); ++q) sum_[q] += add[q];
}

void SegmentPitch::transform() {
  constexpr float slope = static_cast<float>(grid_cents) / deviation_cents;
  const float base = outlier * static_cast<float>(voiced_);
  best_ = *std::ranges::max_element(sum_) + base;
  capped_ = best_ - deviation_cap;
  float running = sum_.front();
  for (std::size_t q = 0; q < sum_.size(); ++q) fit_[q] = running = std::max(sum_[q], running - slope);
  running = fit_.back();
  for (std::size_t q = sum_.size(); q-- > 0;) {
    running = std::max(fit_[q], running - slope);
    fit_[q] = std::max(running + base, capped_);
  }
}

}  // namespace firmus::decode
