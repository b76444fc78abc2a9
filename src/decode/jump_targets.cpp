#include "jump_targets.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <optional>

#include "base/simd.hpp"

namespace firmus::decode {
namespace {

// A chain of notes gains 1 for each interval as written, falling to -1 where it is off by 200 cents. Later intervals
// have geometrically lower weights, so that about six of them decide.
constexpr float cents_for_one = 100, worst = -1, discount = 0.85F;
constexpr std::size_t reach = 4;             // boundaries ahead in which the next note is sought
constexpr float passed_over = 0.25F;         // cost for each unit of log odds above `hardly` of a boundary between
constexpr float hardly = -2, surely = 2;     // log odds
constexpr std::size_t longest_frames = 800;  // 4 s: later pitch belongs to another note
constexpr std::size_t least_frames = 6;
constexpr std::size_t block_notes = std::size_t{2} * lanes;
constexpr std::size_t near_frames = 400;  // 2 s: the first search is not further off

/// Median pitch from each boundary to the next.
std::vector<std::optional<float>> pitches_after(std::span<const float> f0_track_hz,
                                                std::span<const Boundary> boundaries) {
  std::vector<std::optional<float>> pitches;
  std::vector<float> hz;
  for (std::size_t i = 0; i < boundaries.size(); ++i) {
    const std::size_t next = i + 1 < boundaries.size() ? boundaries[i + 1].frame : f0_track_hz.size();
    hz.clear();
    for (std::size_t f = boundaries[i].frame; f < std::min(next, boundaries[i].frame + longest_frames); ++f)
      if (f0_track_hz[f] > 0) hz.push_back(f0_track_hz[f]);
    pitches.emplace_back();
    if (hz.size() < least_frames) continue;
    std::ranges::nth_element(hz, hz.begin() + static_cast<std::ptrdiff_t>(hz.size() / 2));
    pitches.back() = static_cast<float>(100 * midi_from_hz(Hertz(static_cast<double>(hz[hz.size() / 2]))));
  }
  return pitches;
}

/// For each note, the best chain from boundary i on: here(j) = max over the next start i' of gain + discount *
/// there(j+1).
FIRMUS_MULTIVERSION void chain_back(std::span<const float> steps_cents, float sung_cents, float cost,
                                    const std::vector<float>& there, std::vector<float>& here) {
  const float* __restrict from = there.data();
  float* __restrict to = here.data();
#pragma omp simd
  for (std::size_t j = 0; j < steps_cents.size(); ++j) {
    const float off = std::abs(sung_cents - steps_cents[j]);
    const float gain = std::max(1 - off / cents_for_one, worst) - cost + discount * from[j + 1];
    to[j] = std::max(to[j], gain);
  }
}

/// The best of each block of notes from the second on.
FIRMUS_MULTIVERSION void tops_of_blocks(const float* chains, std::size_t blocks, float* tops) {
  for (std::size_t b = 0; b < blocks; ++b) {
    float8 first, second;
    load(chains + b * block_notes, first);
    load(chains + b * block_notes + lanes, second);
    first = first > second ? first : second;
    float top = first[0];
    for (int i = 1; i < lanes; ++i) top = std::max(top, first[i]);
    tops[b] = top;
  }
}

float nth_best(std::vector<float>& values, std::size_t n) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(n) - 1;
  std::ranges::nth_element(values, at, std::ranges::greater());
  return *at;
}

/// The first note and the others of the best chains, of equal ones the earlier.
std::vector<std::uint32_t> best_of(const std::vector<float>& chains) {
  constexpr std::size_t others = JumpTargets::most - 1;
  // If that many blocks have a note as good as this, a worse note is not among the best; few candidates remain.
  const std::size_t blocks = (chains.size() - 1) / block_notes;
  float good_from = -1;  // no chain is worse than 0
  if (blocks >= others) {
    std::vector<float> tops(blocks);
    tops_of_blocks(chains.data() + 1, blocks, tops.data());
    good_from = nth_best(tops, others);
  }
  std::vector<std::uint32_t> good;
  std::vector<float> values;
  for (std::uint32_t j = 1; j < chains.size(); ++j)
    if (chains[j] >= good_from) {
      good.push_back(j);
      values.push_back(chains[j]);
    }
  const float least = nth_best(values, others);
  auto equal = static_cast<std::ptrdiff_t>(others) -
               std::count_if(values.begin(), values.begin() + others, [&](float chain) { return chain > least; });
  std::vector<std::uint32_t> best{0};
  for (const std::uint32_t j : good)
    if (chains[j] > least || (chains[j] == least && equal-- > 0)) best.push_back(j);
  return best;
}

}  // namespace

JumpTargets JumpTargets::candidates_by_intervals(std::span<const float> f0_track_hz,
                                                 std::span<const Boundary> boundaries,
                                                 std::span<const TargetNote> targets) {
  JumpTargets jump_targets;
  if (targets.size() <= most) {
    jump_targets.every_.resize(targets.size());
    std::iota(jump_targets.every_.begin(), jump_targets.every_.end(), 0U);
    return jump_targets;
  }
  std::vector<float> steps_cents;
  for (std::size_t j = 1; j < targets.size(); ++j)
    steps_cents.push_back(static_cast<float>(targets[j].pitch_cents - targets[j - 1].pitch_cents));
  const auto pitches = pitches_after(f0_track_hz, boundaries);
  std::vector<std::vector<float>> chains(reach + 1, std::vector<float>(targets.size(), 0.0F));  // by boundary, in turn
  jump_targets.chosen_.resize(boundaries.size());
  for (std::size_t i = boundaries.size(); i-- > 0;) {
    auto& here = chains[i % (reach + 1)];
    std::ranges::fill(here, 0.0F);
    float cost = 0;
    for (std::size_t next = i + 1; pitches[i] && next < std::min(boundaries.size(), i + 1 + reach); ++next) {
      if (pitches[next]) chain_back(steps_cents, *pitches[next] - *pitches[i], cost, chains[next % (reach + 1)], here);
      cost += passed_over * (std::clamp(boundaries[next].logit, hardly, surely) - hardly);
    }
    jump_targets.chosen_[i] = best_of(here);
  }
  return jump_targets;
}

JumpTargets JumpTargets::near(std::span<const Found> found, std::span<const Boundary> boundaries, std::size_t notes) {
  JumpTargets targets;
  auto first = found.begin();
  for (const Boundary& boundary : boundaries) {
    while (first != found.end() && first->frame + near_frames < boundary.frame) ++first;
    std::vector<std::uint32_t>& here = targets.chosen_.emplace_back();
    for (auto note = first; note != found.end() && note->frame < boundary.frame + near_frames; ++note)
      for (std::size_t j = note->written > 0 ? note->written - 1 : 0; j < std::min(note->written + 2, notes); ++j)
        here.push_back(static_cast<std::uint32_t>(j));
    std::ranges::sort(here);
    here.erase(std::unique(here.begin(), here.end()), here.end());
  }
  return targets;
}

}  // namespace firmus::decode
