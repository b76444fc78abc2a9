#include <algorithm>
#include <cmath>
#include <optional>

#include "base/base.hpp"
#include "frame_measures.hpp"
#include "low_part.hpp"
#include "pitch_candidates.hpp"
#include "pitch_line.hpp"
#include "rumble_filter.hpp"

namespace firmus {
namespace {

constexpr int level_samples = 400;  ///< 25 ms: the level of a frame
constexpr std::size_t blocks_waiting = 32;

float level_db_of(std::span<const float> frame) {
  float energy = 0;
#pragma omp simd reduction(+ : energy)
  for (std::size_t i = 0; i < frame.size(); ++i) energy += frame[i] * frame[i];
  return 10.0F * std::log10(energy / static_cast<float>(frame.size()) + 1e-10F);
}

std::span<const float> centred(std::span<const float> wide, int count) {
  return wide.subspan((wide.size() - static_cast<std::size_t>(count)) / 2, static_cast<std::size_t>(count));
}

/// What one block of frames gives.
struct Block {
  std::vector<PitchCandidate> candidates;
  std::vector<std::uint8_t> counts;  ///< of candidates, for each frame
  std::vector<float> level_db;

  void add(const PitchCandidates::Found& found) {
    candidates.insert(candidates.end(), found.begin(), found.end());
    counts.push_back(static_cast<std::uint8_t>(found.size()));
  }
};

Block look_at(const Samples& samples, const PitchRange& range, std::int64_t first, std::int64_t end) {
  PitchCandidates candidates(range);
  FilteredFrames frames(range.lowest_hz, candidates.frame_samples(), hop_samples);
  frames.load(samples, first, end - first);
  std::optional<LowPart> low_part;
  if (range.lowest_hz < LowPart::needed_below_hz) low_part.emplace(range);
  Block block;
  const auto add = [&](const PitchCandidates::Found& found, std::int64_t frame) {
    block.add(low_part ? low_part->completed(found, frames.at(frame)) : found);
  };
  for (std::int64_t i = first; i < end; i += 2) {
    const bool is_pair = i + 1 < end;
    const auto& found = candidates.find(frames.at(i), is_pair ? frames.at(i + 1) : std::span<const float>());
    add(found[0], i);
    if (is_pair) add(found[1], i + 1);
  }
  for (std::int64_t i = first; i < end; ++i)
    block.level_db.push_back(level_db_of(centred(frames.at(i), level_samples)));
  return block;
}

void append(const Block& block, Evidence& evidence) {
  evidence.candidates.insert(evidence.candidates.end(), block.candidates.begin(), block.candidates.end());
  for (const std::uint8_t count : block.counts)
    evidence.first_candidate.push_back(evidence.first_candidate.back() + count);
  evidence.level_db.insert(evidence.level_db.end(), block.level_db.begin(), block.level_db.end());
}

}  // namespace

void gather_pitch_evidence(const Samples& samples, const PitchRange& range, int threads, Evidence& evidence) {
  evidence = {};
  evidence.lowest_hz = range.lowest_hz;
  evidence.highest_hz = range.highest_hz;
  const auto frames = static_cast<std::size_t>(FilteredFrames::count(samples, hop_samples));
  const std::size_t blocks = (frames + block_frames - 1) / block_frames;
  evidence.first_candidate.reserve(frames + 1);
  evidence.level_db.reserve(frames);
  evidence.first_candidate.push_back(0);
  std::vector<Block> found;
  for (std::size_t from = 0; from < blocks; from += blocks_waiting) {
    found.resize(std::min(blocks_waiting, blocks - from));
    in_parallel(found.size(), threads, [&](std::size_t i) {
      const std::size_t first = (from + i) * block_frames, end = std::min(frames, first + block_frames);
      found[i] = look_at(samples, range, static_cast<std::int64_t>(first), static_cast<std::int64_t>(end));
    });
    for (const Block& block : found) append(block, evidence);
  }
  evidence.floor_db = percentile(evidence.level_db, 0.05);
  evidence.top_db = percentile(evidence.level_db, 0.95);
  viterbi_f0_track(evidence);
}

}  // namespace firmus
