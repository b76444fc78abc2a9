#include <algorithm>

#include "base/base.hpp"
#include "evidence/evidence.hpp"
#include "frame_measures.hpp"
#include "pitch_candidates.hpp"
#include "rumble_filter.hpp"

namespace firmus {
namespace {

constexpr int look_hop_samples = 640;  // 40 ms: a sparse look finds every note
constexpr std::int64_t look_block_frames = 128;
constexpr float sure_strength = 0.8F, nearly_equal = 0.1F;
constexpr double octave_and_a_bit = 2.3;

/// The highest among the nearly equal: a period's multiples are as strong as the period. None when nothing is sure.
void keep_pitch(const PitchCandidates::Found& found, std::vector<float>& pitches) {
  if (found.empty()) return;
  const float strongest = std::ranges::max_element(found, {}, &PitchCandidate::strength)->strength;
  if (strongest < sure_strength) return;
  float hz = 0;
  for (const auto& candidate : found)
    if (candidate.strength > strongest - nearly_equal) hz = std::max(hz, candidate.f0_hz);
  pitches.push_back(hz);
}

std::vector<float> pitches_in(const Samples& samples, const PitchRange& range, std::int64_t first, std::int64_t end) {
  PitchCandidates candidates(range);
  FilteredFrames frames(range.lowest_hz, candidates.frame_samples(), look_hop_samples);
  frames.load(samples, first, end - first);
  std::vector<float> pitches;
  for (std::int64_t i = first; i < end; i += 2) {
    const bool is_pair = i + 1 < end;
    const auto& found = candidates.find(frames.at(i), is_pair ? frames.at(i + 1) : std::span<const float>());
    for (const auto& of_frame : found) keep_pitch(of_frame, pitches);
  }
  return pitches;
}

}  // namespace

PitchRange estimate_pitch_range(const Samples& samples, int threads) {
  const PitchRange everything;
  const std::int64_t frames = FilteredFrames::count(samples, look_hop_samples);
  std::vector<std::vector<float>> found(static_cast<std::size_t>((frames + look_block_frames - 1) / look_block_frames));
  in_parallel(found.size(), threads, [&](std::size_t block) {
    const std::int64_t first = static_cast<std::int64_t>(block) * look_block_frames;
    found[block] = pitches_in(samples, everything, first, std::min(frames, first + look_block_frames));
  });
  std::vector<float> pitches;
  for (const auto& block : found) pitches.insert(pitches.end(), block.begin(), block.end());
  if (pitches.empty()) return everything;
  return {std::max(everything.lowest_hz, percentile(pitches, 0.05) / octave_and_a_bit),
          std::min(everything.highest_hz, percentile(pitches, 0.95) * octave_and_a_bit)};
}

}  // namespace firmus
