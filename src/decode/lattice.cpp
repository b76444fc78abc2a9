#include "lattice.hpp"

#include <algorithm>

namespace firmus {

Lattice::Lattice(const Evidence& evidence, std::span<const Boundary> boundaries, const Melody& melody, const Grid& grid,
                 const Costs& costs)
    : evidence_(evidence),
      boundaries_(boundaries),
      grid_(grid),
      costs_(costs),
      pitch_(evidence, boundaries),
      line_(written_line(melody, costs)),
      timing_(line_, grid.quarter_s, costs),
      jump_targets_(evidence, boundaries, line_),
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

/// Drops what is behind the best by more than the beam, and of many the worst.
void Lattice::prune(std::size_t at) {
  auto& column = columns_[at];
  float best = impossible;
  for (const auto* tokens : {&column.notes, &column.extras, &column.waits})
    for (const Token& token : *tokens) best = std::max(best, token.top);
  for (auto* tokens : {&column.notes, &column.extras, &column.waits}) {
    float least = best - costs_.beam;
    if (tokens->size() > costs_.most_tokens) {
      std::vector<float> tops;
      for (const Token& token : *tokens) tops.push_back(token.top);
      const auto last = tops.begin() + static_cast<std::ptrdiff_t>(costs_.most_tokens) - 1;
      std::ranges::nth_element(tops, last, std::greater{});
      least = std::max(least, *last);
    }
    std::erase_if(*tokens, [&](const Token& token) { return token.top < least; });
  }
}

/// No note that begins in those columns can end here or later: only what is on paths alive is remembered of them.
void Lattice::drop_out_of_reach(std::size_t at) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / Evidence::hop_s);
  for (; first_in_reach_ + 1 < at && frame_of(at) - frame_of(first_in_reach_) > reach; ++first_in_reach_)
    columns_[first_in_reach_] = {};
  pitch_.forget_before(first_in_reach_);
  if (!history_.is_full()) return;
  std::vector<std::vector<std::uint32_t>*> alive;
  for (std::size_t i = first_in_reach_; i <= at; ++i)
    for (auto* tokens : {&columns_[i].notes, &columns_[i].extras, &columns_[i].waits})
      for (Token& token : *tokens) alive.push_back(&token.last_event);
  history_.forget_all_but(alive);
}

Path Lattice::best_path() {
  for (std::size_t at = 0; at <= boundaries_.size(); ++at) {
    pull(at);
    settle_waits(at);
    if (at == boundaries_.size()) break;
    settle_notes(at);
    settle_extras(at);
    prune(at);
    drop_out_of_reach(at);
  }
  return trace_back();
}

}  // namespace firmus
