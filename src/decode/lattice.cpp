#include "lattice.hpp"

#include <algorithm>
#include <functional>

#include "base/frames.hpp"

namespace firmus::decode {
Lattice::Lattice(const Observations& observed, std::span<const Boundary> boundaries,
                 std::span<const TargetNote> targets, const JumpTargets& jump_targets, const StateGrid& grid,
                 const Costs& costs)
    : boundaries_(boundaries),
      end_frame_(observed.end_of_notes()),
      targets_(targets),
      jump_targets_(jump_targets),
      grid_(grid),
      costs_(costs),
      table_(transition_table(costs)),
      at_any_tempo_(grid.quarter_s.size(), 0.0F),
      pitch_(observed, boundaries),
      stable_runs_(observed.f0_track.f0_hz, boundaries),
      duration_cost_(targets, grid.quarter_s, costs),
      joined_cost_(observed, targets, grid.quarter_s, costs),
      columns_(boundaries.size() + 1) {}

void Lattice::Arrivals::clear() {
  for (auto* pending : {&into_note, &note_ended, &extra_ended}) pending->clear();
  best_ended = log_zero;
}

float Lattice::start_score(std::size_t at) const {
  return costs_.onset_weight * std::clamp(boundaries_[at].logit, -costs_.onset_clip, costs_.onset_clip);
}

/// The least score to keep among hypotheses of one state: within the beam, and of many only the best. Raises the beam's
/// floor.
float Lattice::least_kept(std::vector<float>& tops, Column& column) const {
  if (tops.empty()) return column.beam_floor;
  column.beam_floor = std::max(column.beam_floor, std::ranges::max(tops) - costs_.beam);
  if (tops.size() <= costs_.most_hypotheses) return column.beam_floor;
  const auto last = tops.begin() + static_cast<std::ptrdiff_t>(costs_.most_hypotheses) - 1;
  std::ranges::nth_element(tops, last, std::greater{});
  return std::max(column.beam_floor, *last);
}

void Lattice::prune(Column& column) const {
  for (int pass = 0; pass < 2; ++pass) {  // twice, since a later state may hold the best of all
    for (auto* hypotheses : {&column.notes, &column.extras, &column.waits}) {
      std::vector<float> tops;
      for (const PathHypothesis& hypothesis : *hypotheses) tops.push_back(hypothesis.top);
      const float least = least_kept(tops, column);
      std::erase_if(*hypotheses, [&](const PathHypothesis& hypothesis) { return hypothesis.top < least; });
    }
  }
}

/// Empties columns so early that no note that begins there can end at `at` or later. Their paths live on as
/// back-pointers.
void Lattice::drop_out_of_reach(std::size_t at) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / frame_hop_s);
  for (; first_in_reach_ + 1 < at && frame_of(at) - frame_of(first_in_reach_) > reach; ++first_in_reach_)
    columns_[first_in_reach_] = {};
  pitch_.forget_before(first_in_reach_);
  if (!back_pointers_.is_full()) return;
  const std::size_t tempi = grid_.quarter_s.size();
  std::vector<std::span<std::uint32_t>> alive;
  for (std::size_t i = first_in_reach_; i <= at; ++i)
    for (auto* hypotheses : {&columns_[i].notes, &columns_[i].extras, &columns_[i].waits})
      for (PathHypothesis& hypothesis : *hypotheses)
        if (hypothesis.key_from < hypothesis.key_to)
          alive.push_back(std::span(hypothesis.back_pointer)
                              .subspan(hypothesis.key_from * tempi, (hypothesis.key_to - hypothesis.key_from) * tempi));
  back_pointers_.collect_garbage(alive);
}

Path Lattice::best_path() {
  Arrivals arrivals{PendingByPosition(targets_.size(), grid_), PendingByPosition(targets_.size() + 1, grid_),
                    PendingByPosition(targets_.size() + 1, grid_)};
  for (std::size_t at = 0; at <= boundaries_.size(); ++at) {
    extend_segments(at, arrivals);
    commit_waits(at, arrivals);
    if (at == boundaries_.size()) break;
    commit_notes(at, arrivals);
    commit_extras(at, arrivals);
    prune(columns_[at]);
    drop_out_of_reach(at);
  }
  return trace_back(arrivals);
}

}  // namespace firmus::decode
