#include "lattice.hpp"

#include <algorithm>
#include <functional>

#include "base/frames.hpp"

namespace firmus::decode {

Lattice::Lattice(const Observations& observed, std::span<const Boundary> boundaries, std::span<const TargetNote> line,
                 const JumpTargets& jump_targets, const StateGrid& grid, const Costs& costs)
    : observed_(observed),
      boundaries_(boundaries),
      grid_(grid),
      costs_(costs),
      pitch_(observed, boundaries),
      rests_(observed.f0_track.f0_hz, boundaries),
      line_(line),
      timing_(line_, grid.quarter_s, costs),
      jump_targets_(jump_targets),
      columns_(boundaries.size() + 1),
      into_note_(line_.size(), grid),
      into_closed_(line_.size() + 1, grid),
      into_extra_(line_.size() + 1, grid),
      by_key_(grid.key_cents.size()),
      no_timing_(grid.quarter_s.size(), 0.0F) {}

float Lattice::start_score(std::size_t at) const {
  return costs_.onset_weight * std::clamp(boundaries_[at].logit, -costs_.onset_clip, costs_.onset_clip);
}

/// So few notes are left after a jump there that they prove nothing.
float Lattice::landing_cost(std::size_t note) const {
  const std::size_t left = line_.size() - note;
  return left < costs_.landing_notes ? costs_.landing_short * static_cast<float>(costs_.landing_notes - left) : 0;
}

/// The least score worth keeping among so many of one kind: not behind the best by more than the beam, and of many
/// only the best.
float Lattice::kept_from(Column& column, std::vector<float>& tops) const {
  if (tops.empty()) return column.floor;
  column.floor = std::max(column.floor, std::ranges::max(tops) - costs_.beam);
  if (tops.size() <= costs_.most_hypotheses) return column.floor;
  const auto last = tops.begin() + static_cast<std::ptrdiff_t>(costs_.most_hypotheses) - 1;
  std::ranges::nth_element(tops, last, std::greater{});
  return std::max(column.floor, *last);
}

void Lattice::prune(std::size_t at) {
  auto& column = columns_[at];
  for (int again = 0; again < 2; ++again) {  // the best of the last kind may be the best of all
    for (auto* tokens : {&column.notes, &column.extras, &column.waits}) {
      std::vector<float> tops;
      for (const PathHypothesis& token : *tokens) tops.push_back(token.top);
      const float least = kept_from(column, tops);
      std::erase_if(*tokens, [&](const PathHypothesis& token) { return token.top < least; });
    }
  }
}

/// No note that begins in those columns can end here or later: only what is on paths alive is remembered of them.
void Lattice::drop_out_of_reach(std::size_t at) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / frame_hop_s);
  for (; first_in_reach_ + 1 < at && frame_of(at) - frame_of(first_in_reach_) > reach; ++first_in_reach_)
    columns_[first_in_reach_] = {};
  pitch_.forget_before(first_in_reach_);
  if (!history_.is_full()) return;
  std::vector<std::vector<std::uint32_t>*> alive;
  for (std::size_t i = first_in_reach_; i <= at; ++i)
    for (auto* tokens : {&columns_[i].notes, &columns_[i].extras, &columns_[i].waits})
      for (PathHypothesis& token : *tokens) alive.push_back(&token.back_pointer);
  history_.collect_garbage(alive);
}

Path Lattice::best_path() {
  for (std::size_t at = 0; at <= boundaries_.size(); ++at) {
    extend_segments(at);
    commit_waits(at);
    if (at == boundaries_.size()) break;
    commit_notes(at);
    commit_extras(at);
    prune(at);
    drop_out_of_reach(at);
  }
  return trace_back();
}

}  // namespace firmus::decode
