// What flowed into a boundary settles there as tokens: waits, notes that begin, extra notes that begin.
#include <algorithm>
#include <numeric>

#include "base/simd.hpp"
#include "lattice.hpp"

namespace firmus::decode {
namespace {

// A path behind the best in the same place by more than a change of key costs can be had from that best one.
constexpr float cells_beam = 13.9F;

/// Makes cells below impossible; how many are left.
FIRMUS_MULTIVERSION int mask_below(float least, float* cells, std::size_t count) {
  int kept = 0;
#pragma omp simd reduction(+ : kept)
  for (std::size_t c = 0; c < count; ++c) {
    const float cell = cells[c] < least ? log_zero : cells[c];
    cells[c] = cell;
    kept += cell > log_zero / 2 ? 1 : 0;
  }
  return kept;
}

/// Makes cells far behind the token's best impossible, and finds the keys that are left.
void mask_unlikely_cells(const StateGrid& grid, PathHypothesis& token) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  token.top = highest(token.score);
  const auto best = std::ranges::find(token.score, token.top);
  token.top_key = best == token.score.end() ? 0 : static_cast<std::size_t>(best - token.score.begin()) / tempi;
  token.key_from = keys;
  token.key_to = 0;
  for (std::size_t k = 0; k < keys; ++k) {
    if (mask_below(token.top - cells_beam, &token.score[k * tempi], tempi) == 0) continue;
    token.key_from = std::min(token.key_from, k);
    token.key_to = k + 1;
  }
}

/// Any key and any tempo can be had from the best at the cost of a change of key.
void apply_jump_transition(PendingHypotheses& inflow) {
  const auto best = std::ranges::max_element(inflow.score);
  const float least = *best - cells_beam;
  const std::uint32_t event = inflow.back_pointer[static_cast<std::size_t>(best - inflow.score.begin())];
  for (std::size_t c = 0; c < inflow.score.size(); ++c) {
    if (inflow.score[c] >= least) continue;
    inflow.score[c] = least;
    inflow.back_pointer[c] = event;
  }
}

}  // namespace

/// Keeps a note that begins here: lets key and tempo walk (but not over an extra note) and writes the events.
void Lattice::commit_begun(std::vector<PathHypothesis>& kept, std::uint32_t place, const PendingHypotheses& inflow,
                           float start, std::size_t at, std::int32_t what) {
  PathHypothesis& token = kept.emplace_back();
  token.place = place;
  token.score = inflow.score;
  for (float& value : token.score) value += start;
  origin_.resize(grid_.cells());
  std::iota(origin_.begin(), origin_.end(), 0U);
  if (what >= 0) transition(grid_, token.score, origin_);
  mask_unlikely_cells(grid_, token);
  token.back_pointer.assign(grid_.cells(), 0);
  for (std::size_t c = 0; c < origin_.size(); ++c)
    if (token.score[c] > log_zero / 2)
      token.back_pointer[c] = history_.add(
          {inflow.back_pointer[origin_[c]], static_cast<std::uint32_t>(at), what, static_cast<std::uint32_t>(c)});
}

/// A wait goes on from the boundary before, or starts with the end of a note here, whichever is better.
void Lattice::commit_wait(std::size_t at, std::uint32_t place, const PathHypothesis* before) {
  settling_.touched = false;
  activate(grid_, settling_);
  if (into_closed_.touched(place)) relax(into_closed_.at(place), costs_.wait_entry, settling_);
  if (into_extra_.touched(place)) relax(into_extra_.at(place), 0, settling_);
  auto& column = columns_[at];
  const float begun = highest(settling_.score), top = std::max(begun, before != nullptr ? before->top : log_zero);
  column.floor = std::max(column.floor, top - costs_.beam);
  if (top < column.floor) return;
  PathHypothesis token;
  token.place = place;
  token.score = settling_.score;
  token.back_pointer.assign(grid_.cells(), 0);
  const float least = top - cells_beam;
  for (std::size_t c = 0; c < token.score.size(); ++c) {
    if (before != nullptr && before->score[c] >= token.score[c]) {
      token.score[c] = before->score[c];
      token.back_pointer[c] = before->back_pointer[c];
    } else if (token.score[c] >= least) {
      token.back_pointer[c] = history_.add({settling_.back_pointer[c], static_cast<std::uint32_t>(at),
                                            BackPointers::note_ended, static_cast<std::uint32_t>(c)});
    }
  }
  mask_unlikely_cells(grid_, token);
  column.waits.push_back(std::move(token));
}

void Lattice::commit_waits(std::size_t at) {
  std::vector<std::uint32_t> places(into_closed_.places().begin(), into_closed_.places().end());
  places.insert(places.end(), into_extra_.places().begin(), into_extra_.places().end());
  static const std::vector<PathHypothesis> none;
  const auto& before = at > 0 ? columns_[at - 1].waits : none;
  for (const PathHypothesis& token : before) places.push_back(token.place);
  std::ranges::sort(places);
  places.erase(std::unique(places.begin(), places.end()), places.end());
  auto wait = before.begin();
  for (const std::uint32_t place : places) {
    if (place == 0) continue;
    while (wait != before.end() && wait->place < place) ++wait;
    commit_wait(at, place, wait != before.end() && wait->place == place ? &*wait : nullptr);
  }
}

/// Where a take begins that lacks the melody's beginning.
void Lattice::add_begins(std::size_t at) {
  const auto begin_at = [&](std::size_t j, float cost) {
    if (start_score(at) - cost < columns_[at].floor) return;
    for (float& value : into_note_.activate(j).score) value = std::max(value, -cost);
  };
  const auto near = static_cast<std::size_t>(costs_.begins_in_the_middle / costs_.begin_late) + 1;
  for (std::size_t j = 0; j < std::min(near, line_.size()); ++j) begin_at(j, costs_.begin_late * static_cast<float>(j));
  for (const std::size_t j : jump_targets_.at(at)) begin_at(j, costs_.begins_in_the_middle + landing_cost(j));
}

/// From a wait after any note to any other note: forward over a passage that is left out, or back for another try.
void Lattice::add_jumps(std::size_t at) {
  const auto& waits = columns_[at].waits;
  const auto targets = jump_targets_.at(at);
  const float floor = columns_[at].floor - start_score(at);
  float best = log_zero;
  const auto start_over = [&] {
    jumping_.touched = false;
    activate(grid_, jumping_);
    best = log_zero;
  };
  const auto take_in = [&](const PathHypothesis& wait) {
    relax(grid_, wait, 0, jumping_);
    apply_jump_transition(jumping_);
    best = std::max(best, wait.top);
  };
  const auto give = [&](std::size_t j, float cost) {
    if (best - cost > floor) relax(jumping_, cost, into_note_.activate(j));
  };
  start_over();
  auto wait = waits.begin();
  for (const std::uint32_t j : targets) {  // from waits after fewer notes: forward
    for (; wait != waits.end() && wait->place < j; ++wait) take_in(*wait);
    give(j, costs_.jump_forward - costs_.wait_entry + landing_cost(j));
  }
  start_over();
  auto last = waits.rbegin();
  for (auto target = targets.rbegin(); target != targets.rend(); ++target) {  // from waits after more: back
    for (; last != waits.rend() && last->place > *target; ++last) take_in(*last);
    const float cost = *target == 0                   ? costs_.restart_at_begin
                       : line_[*target].begins_phrase ? costs_.restart_at_phrase
                                                      : costs_.restart_elsewhere;
    give(*target, cost - costs_.wait_entry);
  }
}

void Lattice::commit_notes(std::size_t at) {
  auto& column = columns_[at];
  for (const PathHypothesis& wait : column.waits)
    if (wait.place < line_.size()) relax(grid_, wait, costs_.untimed, into_note_.activate(wait.place));
  for (const std::uint32_t place : into_extra_.places())
    if (place < line_.size()) relax(into_extra_.at(place), costs_.untimed, into_note_.activate(place));
  add_begins(at);
  add_jumps(at);
  into_note_.sort();
  const float start = start_score(at);
  std::vector<float> tops;
  for (const std::uint32_t j : into_note_.places()) tops.push_back(highest(into_note_.at(j).score) + start);
  std::vector<float> sorted = tops;
  const float least = kept_from(column, sorted);
  auto top = tops.begin();
  for (const std::uint32_t j : into_note_.places())
    if (*top++ >= least) commit_begun(column.notes, j, into_note_.at(j), start, at, static_cast<std::int32_t>(j));
}

void Lattice::commit_extras(std::size_t at) {
  auto& column = columns_[at];
  const float cost = costs_.extra_note - start_score(at);
  std::vector<std::uint32_t> places{0};
  for (const auto* inflows : {&into_closed_, &into_extra_})
    places.insert(places.end(), inflows->places().begin(), inflows->places().end());
  for (const PathHypothesis& wait : column.waits) places.push_back(wait.place);
  std::ranges::sort(places);
  places.erase(std::unique(places.begin(), places.end()), places.end());
  auto wait = column.waits.begin();
  for (const std::uint32_t place : places) {
    settling_.touched = false;
    activate(grid_, settling_);
    if (place == 0) std::ranges::fill(settling_.score, -cost - costs_.entry_before);
    if (into_closed_.touched(place)) relax(into_closed_.at(place), cost + costs_.extra_entry, settling_);
    if (into_extra_.touched(place)) relax(into_extra_.at(place), cost, settling_);
    while (wait != column.waits.end() && wait->place < place) ++wait;
    if (wait != column.waits.end() && wait->place == place) relax(grid_, *wait, cost, settling_);
    if (highest(settling_.score) >= column.floor)
      commit_begun(column.extras, place, settling_, 0, at, BackPointers::extra_begins);
  }
}

}  // namespace firmus::decode
