#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>

#include "pitch/pitch.hpp"

namespace firmus::pitch {
namespace {

// Costs on the scale of the NSDF peak (0 to 1), tuned on annotated takes.
constexpr float high_bias_per_octave = 0.03F;  // ties between a period and its multiples go to the shorter
constexpr float unvoiced_cost = 0.45F;         // a frame whose highest peak is below 0.55 is rather unvoiced
constexpr float quiet_bonus = 0.6F;            // subtracted from it at the noise floor
constexpr float quiet_ramp_db = 12.0F;
constexpr float quiet_over_floor_db = 6.0F, quiet_under_top_db = 32.0F;
constexpr float least_under_top_db = 12.0F;  // without pauses the 5th percentile is the level of a note, not of noise
constexpr float switch_cost = 0.5F;          // voiced to unvoiced and back
constexpr float move_cost_per_octave = 1.5F;
constexpr float move_cap_octaves = 0.6F;  // larger leaps cost no more
constexpr float bias_reference_hz = 1300.0F;

struct State {
  float cost = 0;    ///< of being in it for this frame
  float octave = 0;  ///< log2 of f0 in Hz
  bool voiced = false;
};

float unvoiced_cost_at(const Evidence& evidence, std::size_t frame) {
  const auto floor_db = static_cast<float>(evidence.floor_db), top_db = static_cast<float>(evidence.top_db);
  const float quiet_db =
      std::clamp(floor_db + quiet_over_floor_db, top_db - quiet_under_top_db, top_db - least_under_top_db);
  const float depth = std::clamp((quiet_db - evidence.level_db[frame]) / quiet_ramp_db, 0.0F, 1.0F);
  return unvoiced_cost - quiet_bonus * depth;
}

float transition_cost(const State& from, const State& to) {
  if (from.voiced != to.voiced) return switch_cost;
  if (!to.voiced) return 0.0F;
  return move_cost_per_octave * std::min(std::abs(from.octave - to.octave), move_cap_octaves);
}

constexpr std::size_t most_states = Evidence::most_candidates + 1;  // and the unvoiced one, the last
using States = std::array<State, most_states>;

/// Fills the states of a frame; returns their number.
std::size_t fill_states(const Evidence& evidence, std::size_t frame, States& states) {
  std::size_t count = 0;
  for (const auto& candidate : evidence.at(frame)) {
    const float bias = high_bias_per_octave * std::log2(bias_reference_hz / candidate.f0_hz);
    states[count++] = {1.0F - candidate.nsdf_peak + bias, std::log2(candidate.f0_hz), true};
  }
  states[count++] = {unvoiced_cost_at(evidence, frame), 0, false};
  return count;
}

}  // namespace
}  // namespace firmus::pitch

namespace firmus {

CoarseF0Track viterbi_f0_track(const Evidence& evidence) {
  using namespace pitch;
  const std::size_t frames = evidence.frames();
  CoarseF0Track track{std::vector<float>(frames), std::vector<float>(frames)};
  if (frames == 0) return track;
  std::vector<std::array<std::uint8_t, most_states>> back_pointers(frames);
  States before, here;
  std::array<float, most_states> total{}, next{};
  std::size_t count_before = fill_states(evidence, 0, before);
  for (std::size_t c = 0; c < count_before; ++c) total[c] = before[c].cost;
  for (std::size_t frame = 1; frame < frames; ++frame) {
    const std::size_t count = fill_states(evidence, frame, here);
    for (std::size_t c = 0; c < count; ++c) {
      float best = std::numeric_limits<float>::max();
      for (std::size_t b = 0; b < count_before; ++b) {
        const float cost = total[b] + transition_cost(before[b], here[c]);
        if (cost < best) {
          best = cost;
          back_pointers[frame][c] = static_cast<std::uint8_t>(b);
        }
      }
      next[c] = best + here[c].cost;
    }
    const float least = *std::min_element(next.begin(), next.begin() + static_cast<std::ptrdiff_t>(count));
    for (std::size_t c = 0; c < count; ++c) total[c] = next[c] - least;  // keeps float sums small over an hour
    std::swap(before, here);
    count_before = count;
  }
  auto state = static_cast<std::size_t>(
      std::min_element(total.begin(), total.begin() + static_cast<std::ptrdiff_t>(count_before)) - total.begin());
  for (std::size_t frame = frames; frame-- > 0;) {
    const auto candidates = evidence.at(frame);
    if (state < candidates.size()) {
      track.f0_hz[frame] = candidates[state].f0_hz;
      track.nsdf_peak[frame] = candidates[state].nsdf_peak;
    }
    state = back_pointers[frame][state];
  }
  return track;
}

}  // namespace firmus
