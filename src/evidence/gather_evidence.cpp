#include <algorithm>
#include <cmath>
#include <optional>

#include "base/base.hpp"
#include "base/frames.hpp"
#include "base/percentile.hpp"
#include "energy.hpp"
#include "evidence/evidence.hpp"
#include "filtered_frames.hpp"
#include "low_band_candidates.hpp"
#include "pitch_candidates.hpp"
#include "singing_levels.hpp"

namespace firmus::evidence {
namespace {

constexpr int hop_samples = frame_hop_samples(Samples::rate_hz);
constexpr int level_samples = 400;  ///< 25 ms: the level of a frame
/// Frames that one thread works on in one go, 5 s. Blocks are cut at fixed places, so that the result does not depend
/// on the number of threads.
constexpr std::size_t block_frames = 1024;
constexpr std::size_t blocks_in_memory = 32;

float level_db_of(std::span<const float> frame) {
  return 10.0F * std::log10(energy_of(frame) / static_cast<float>(frame.size()) + 1e-10F);
}

std::span<const float> centred(std::span<const float> frame, int count) {
  return frame.subspan((frame.size() - static_cast<std::size_t>(count)) / 2, static_cast<std::size_t>(count));
}

struct Block {
  std::vector<PitchCandidate> candidates;
  std::vector<std::uint8_t> counts;  ///< number of candidates of each frame
  std::vector<float> level_db;

  void add(const PitchCandidates::Found& found) {
    candidates.insert(candidates.end(), found.begin(), found.end());
    counts.push_back(static_cast<std::uint8_t>(found.size()));
  }
};

Block block_of(const Samples& samples, const PitchRange& range, std::int64_t first, std::int64_t end) {
  PitchCandidates candidates(range);
  FilteredFrames frames(range.full_frames_from_hz(), candidates.frame_samples(), hop_samples);
  frames.load(samples, first, end - first);
  std::optional<LowBandCandidates> low_band;
  if (range.full_frames_from_hz() < LowBandCandidates::needed_below_hz) low_band.emplace(range);
  Block block;
  const auto add = [&](const PitchCandidates::Found& found, std::int64_t frame) {
    block.add(low_band ? low_band->augment(found, frames.at(frame)) : found);
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

void append(const Block& block, Evidence& gathered) {
  gathered.candidates.insert(gathered.candidates.end(), block.candidates.begin(), block.candidates.end());
  for (const std::uint8_t count : block.counts)
    gathered.first_candidate.push_back(gathered.first_candidate.back() + count);
  gathered.level_db.insert(gathered.level_db.end(), block.level_db.begin(), block.level_db.end());
}

}  // namespace
}  // namespace firmus::evidence

namespace firmus {

Evidence gather_evidence(const Samples& samples, const PitchRange& range, int threads) {
  using namespace evidence;
  Evidence gathered;
  gathered.searched = range;
  const auto frames = static_cast<std::size_t>(FilteredFrames::count(samples, hop_samples));
  const std::size_t blocks = (frames + block_frames - 1) / block_frames;
  gathered.first_candidate.reserve(frames + 1);
  gathered.level_db.reserve(frames);
  gathered.first_candidate.push_back(0);
  std::vector<Block> found;
  for (std::size_t from = 0; from < blocks; from += blocks_in_memory) {
    found.resize(std::min(blocks_in_memory, blocks - from));
    in_parallel(found.size(), threads, [&](std::size_t i) {
      const std::size_t first = (from + i) * block_frames, end = std::min(frames, first + block_frames);
      found[i] = block_of(samples, range, static_cast<std::int64_t>(first), static_cast<std::int64_t>(end));
    });
    for (const Block& block : found) append(block, gathered);
  }
  const std::vector<float> levels = levels_of_singing(gathered);
  gathered.floor_db = percentile(levels, 0.05);
  gathered.top_db = percentile(levels, 0.95);
  return gathered;
}

}  // namespace firmus
