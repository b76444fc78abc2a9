#include <algorithm>

#include "base/base.hpp"
#include "base/percentile.hpp"
#include "evidence/evidence.hpp"
#include "filtered_frames.hpp"
#include "pitch_candidates.hpp"

namespace firmus::evidence {
namespace {

constexpr int sparse_hop_samples = 640;  // 40 ms: every note has such a frame
constexpr std::int64_t sparse_block_frames = 128;
constexpr float sure_nsdf_peak = 0.8F, nearly_equal = 0.1F;
constexpr double margin_factor = 2.3;  // an octave and two semitones; for a known melody, of the length of frames
/// For a known melody, two octaves and two semitones: a line is sung an octave lower and one of its notes another
/// octave lower, or it is whistled two octaves higher.
constexpr double melody_margin_factor = 4.6;

/// Adds the highest pitch among the nearly best: multiples of a period have peaks as high as the period's. Adds nothing
/// where no candidate is clear.
void add_clear_pitch(const PitchCandidates::Found& found, std::vector<float>& pitches) {
  if (found.empty()) return;
  const float highest_peak = std::ranges::max_element(found, {}, &PitchCandidate::nsdf_peak)->nsdf_peak;
  if (highest_peak < sure_nsdf_peak) return;
  float hz = 0;
  for (const auto& candidate : found)
    if (candidate.nsdf_peak > highest_peak - nearly_equal) hz = std::max(hz, candidate.f0_hz);
  pitches.push_back(hz);
}

std::vector<float> pitches_in(const Samples& samples, const PitchRange& range, std::int64_t first, std::int64_t end) {
  PitchCandidates candidates(range);
  FilteredFrames frames(range.lowest_hz, candidates.frame_samples(), sparse_hop_samples);
  frames.load(samples, first, end - first);
  std::vector<float> pitches;
  for (std::int64_t i = first; i < end; i += 2) {
    const bool is_pair = i + 1 < end;
    const auto& found = candidates.find(frames.at(i), is_pair ? frames.at(i + 1) : std::span<const float>());
    for (const auto& of_frame : found) add_clear_pitch(of_frame, pitches);
  }
  return pitches;
}

}  // namespace
}  // namespace firmus::evidence

namespace firmus {

PitchRange search_range_of(const Melody& melody) {
  using namespace evidence;
  PitchRange range{1e9, 0};
  for (const auto& note : melody.notes) {
    range.lowest_hz = std::min(range.lowest_hz, note.target_hz.value());
    range.highest_hz = std::max(range.highest_hz, note.target_hz.value());
  }
  const PitchRange everything;
  const auto within = [&](double hz) { return std::clamp(hz, everything.lowest_hz, everything.highest_hz / 4); };
  return {within(range.lowest_hz / melody_margin_factor),
          std::clamp(range.highest_hz * melody_margin_factor, everything.lowest_hz * 4, everything.highest_hz),
          within(range.lowest_hz / margin_factor)};
}

PitchRange estimate_pitch_range(const Samples& samples, int threads) {
  using namespace evidence;
  const PitchRange everything;
  const std::int64_t frames = FilteredFrames::count(samples, sparse_hop_samples);
  std::vector<std::vector<float>> found(
      static_cast<std::size_t>((frames + sparse_block_frames - 1) / sparse_block_frames));
  in_parallel(found.size(), threads, [&](std::size_t block) {
    const std::int64_t first = static_cast<std::int64_t>(block) * sparse_block_frames;
    found[block] = pitches_in(samples, everything, first, std::min(frames, first + sparse_block_frames));
  });
  std::vector<float> pitches;
  for (const auto& block : found) pitches.insert(pitches.end(), block.begin(), block.end());
  if (pitches.empty()) return everything;
  return {std::max(everything.lowest_hz, percentile(pitches, 0.05) / margin_factor),
          std::min(everything.highest_hz, percentile(pitches, 0.95) * margin_factor)};
}

}  // namespace firmus
