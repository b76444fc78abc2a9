#include "pitch_line.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "pitch_candidates.hpp"

namespace firmus {
namespace {

// Costs on the scale of the peak height (0 to 1), tuned on annotated takes.
constexpr float high_bias_per_octave = 0.03F;  // ties between a period and its multiples go to the shorter
constexpr float unvoiced_cost = 0.45F;         // a peak under 0.55 is rather no pitch at all
constexpr float quiet_bonus = 0.6F;            // taken off it where the level is down at the floor
constexpr float quiet_ramp_db = 12.0F;
constexpr float quiet_over_floor_db = 6.0F, quiet_under_top_db = 32.0F;
constexpr float least_under_top_db = 12.0F;  // a take without a pause has its floor in the notes: they are not quiet
constexpr float switch_cost = 0.5F;          // voiced to unvoiced and back
constexpr float move_cost_per_octave = 1.5F;
constexpr float move_cap_octaves = 0.6F;  // beyond it a leap is a leap
constexpr float bias_reference_hz = 1300.0F;

struct Cell {
  float cost = 0, octave = 0, strength = 0;
  bool voiced = false;
};

float unvoiced_here(const Evidence& evidence, std::size_t frame) {
  const auto floor_db = static_cast<float>(evidence.floor_db), top_db = static_cast<float>(evidence.top_db);
  const float quiet_db =
      std::clamp(floor_db + quiet_over_floor_db, top_db - quiet_under_top_db, top_db - least_under_top_db);
  const float depth = std::clamp((quiet_db - evidence.level_db[frame]) / quiet_ramp_db, 0.0F, 1.0F);
  return unvoiced_cost - quiet_bonus * depth;
}

float move_cost(const Cell& from, const Cell& to) {
  if (from.voiced != to.voiced) return switch_cost;
  if (!to.voiced) return 0.0F;
  return move_cost_per_octave * std::min(std::abs(from.octave - to.octave), move_cap_octaves);
}

constexpr std::size_t most_cells = PitchCandidates::most + 1;  // and the unvoiced one
using Column = std::array<Cell, most_cells>;

std::size_t fill_column(const Evidence& evidence, std::size_t frame, Column& column) {
  std::size_t count = 0;
  for (const auto& candidate : evidence.at(frame)) {
    const float bias = high_bias_per_octave * std::log2(bias_reference_hz / candidate.f0_hz);
    column[count++] = {1.0F - candidate.strength + bias, std::log2(candidate.f0_hz), candidate.strength, true};
  }
  column[count++] = {unvoiced_here(evidence, frame), 0, 0, false};
  return count;
}

}  // namespace

void viterbi_f0_track(Evidence& evidence) {
  const std::size_t frames = evidence.frames();
  evidence.f0_track_hz.assign(frames, 0.0F);
  evidence.clarity.assign(frames, 0.0F);
  if (frames == 0) return;
  std::vector<std::array<std::uint8_t, most_cells>> from(frames);
  Column before, here;
  std::array<float, most_cells> total{}, next{};
  std::size_t count_before = fill_column(evidence, 0, before);
  for (std::size_t c = 0; c < count_before; ++c) total[c] = before[c].cost;
  for (std::size_t frame = 1; frame < frames; ++frame) {
    const std::size_t count = fill_column(evidence, frame, here);
    for (std::size_t c = 0; c < count; ++c) {
      float best = std::numeric_limits<float>::max();
      for (std::size_t b = 0; b < count_before; ++b) {
        const float cost = total[b] + move_cost(before[b], here[c]);
        if (cost < best) {
          best = cost;
          from[frame][c] = static_cast<std::uint8_t>(b);
        }
      }
      next[c] = best + here[c].cost;
    }
    const float least = *std::min_element(next.begin(), next.begin() + static_cast<std::ptrdiff_t>(count));
    for (std::size_t c = 0; c < count; ++c) total[c] = next[c] - least;  // keeps float sums small over an hour
    std::swap(before, here);
    count_before = count;
  }
  auto cell = static_cast<std::size_t>(
      std::min_element(total.begin(), total.begin() + static_cast<std::ptrdiff_t>(count_before)) - total.begin());
  for (std::size_t frame = frames; frame-- > 0;) {
    const auto candidates = evidence.at(frame);
    if (cell < candidates.size()) {
      evidence.f0_track_hz[frame] = candidates[cell].f0_hz;
      evidence.clarity[frame] = candidates[cell].strength;
    }
    cell = from[frame][cell];
  }
}

}  // namespace firmus
