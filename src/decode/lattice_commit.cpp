// What reaches a boundary is kept there as hypotheses: waits, notes that begin, extra notes that begin.
#include <algorithm>
#include <numeric>

#include "base/simd.hpp"
#include "lattice.hpp"

namespace firmus::decode {
namespace {

/// How far a cell may be behind the best of its hypothesis: a change of key from that best costs no more.
constexpr float cells_beam = 13.9F;

/// Sets cells below `least` to log_zero; returns the number of others.
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

/// Masks cells far behind the hypothesis's best, and sets `top`, `top_key` and the range of keys that are left.
void mask_unlikely_cells(const StateGrid& grid, PathHypothesis& hypothesis) {
  const std::size_t keys = grid.key_cents.size(), tempi = grid.quarter_s.size();
  auto& score = hypothesis.score;
  hypothesis.top = highest(score);
  const auto best = std::ranges::find(score, hypothesis.top);
  hypothesis.top_key = best == score.end() ? 0 : static_cast<std::size_t>(best - score.begin()) / tempi;
  hypothesis.key_from = keys;
  hypothesis.key_to = 0;
  for (std::size_t k = 0; k < keys; ++k) {
    if (mask_below(hypothesis.top - cells_beam, &score[k * tempi], tempi) == 0) continue;
    hypothesis.key_from = std::min(hypothesis.key_from, k);
    hypothesis.key_to = k + 1;
  }
}

/// A jump may change to any key and tempo, from the best cell at the cost of a change of key.
void apply_jump_transition(PendingHypotheses& pending) {
  const auto best = std::ranges::max_element(pending.score);
  const float least = *best - cells_beam;
  const std::uint32_t path_end = pending.path_end[static_cast<std::size_t>(best - pending.score.begin())];
  for (std::size_t c = 0; c < pending.score.size(); ++c) {
    if (pending.score[c] >= least) continue;
    pending.score[c] = least;
    pending.path_end[c] = path_end;
  }
}

void sort_and_unite(std::vector<std::uint32_t>& positions) {
  std::ranges::sort(positions);
  positions.erase(std::unique(positions.begin(), positions.end()), positions.end());
}

/// The hypothesis at `position`, or null. `from` moves forward; ask for rising positions.
const PathHypothesis* find_from(std::vector<PathHypothesis>::const_iterator& from,
                                const std::vector<PathHypothesis>& sorted, std::uint32_t position) {
  while (from != sorted.end() && from->position < position) ++from;
  return from != sorted.end() && from->position == position ? &*from : nullptr;
}

}  // namespace

/// A note or extra note that begins here. Key and tempo take a step of their random walk, but not at an extra note,
/// which has neither.
PathHypothesis Lattice::begun(std::size_t at, State state, std::uint32_t position, const PendingHypotheses& pending,
                              float start_score) {
  PathHypothesis hypothesis;
  hypothesis.position = position;
  hypothesis.score = pending.score;
  for (float& value : hypothesis.score) value += start_score;
  std::vector<std::uint32_t> origin(grid_.cells());
  std::iota(origin.begin(), origin.end(), 0U);
  if (state == State::note && targets_[position].begins_phrase) transition_octave(grid_, hypothesis.score, origin);
  if (state == State::note) transition(grid_, hypothesis.score, origin);
  mask_unlikely_cells(grid_, hypothesis);
  hypothesis.back_pointer.assign(grid_.cells(), 0);
  const std::size_t tempi = grid_.quarter_s.size();
  for (std::size_t c = hypothesis.key_from * tempi; c < hypothesis.key_to * tempi; ++c)
    if (hypothesis.score[c] > log_zero / 2)
      hypothesis.back_pointer[c] =
          back_pointers_.add({PathEnd(pending.path_end[origin[c]]), static_cast<std::uint32_t>(at), state, position,
                              static_cast<std::uint32_t>(c)});
  return hypothesis;
}

/// A wait goes on from the boundary before (`before`, or null) or begins here, whichever is better in each cell.
void Lattice::commit_wait(std::size_t at, std::uint32_t position, const PendingHypotheses& begun,
                          const PathHypothesis* before) {
  auto& column = columns_[at];
  const float top = std::max(highest(begun.score), before != nullptr ? before->top : log_zero);
  column.beam_floor = std::max(column.beam_floor, top - costs_.beam);
  if (top < column.beam_floor) return;
  PathHypothesis wait;
  wait.position = position;
  wait.score = begun.score;
  wait.back_pointer.assign(grid_.cells(), 0);
  const float least = top - cells_beam;
  for (std::size_t c = 0; c < wait.score.size(); ++c) {
    if (before != nullptr && before->score[c] >= wait.score[c]) {
      wait.score[c] = before->score[c];
      wait.back_pointer[c] = before->back_pointer[c];
    } else if (wait.score[c] >= least) {
      wait.back_pointer[c] = back_pointers_.add({PathEnd(begun.path_end[c]), static_cast<std::uint32_t>(at),
                                                 State::wait, position, static_cast<std::uint32_t>(c)});
    }
  }
  mask_unlikely_cells(grid_, wait);
  column.waits.push_back(std::move(wait));
}

void Lattice::commit_waits(std::size_t at, const Arrivals& arrivals) {
  const auto &ended = arrivals.note_ended, &extra_ended = arrivals.extra_ended;
  std::vector<std::uint32_t> positions(ended.positions().begin(), ended.positions().end());
  positions.insert(positions.end(), extra_ended.positions().begin(), extra_ended.positions().end());
  static const std::vector<PathHypothesis> none;
  const auto& before = at > 0 ? columns_[at - 1].waits : none;
  for (const PathHypothesis& wait : before) positions.push_back(wait.position);
  sort_and_unite(positions);
  PendingHypotheses begun;
  auto wait = before.begin();
  for (const std::uint32_t position : positions) {
    if (position == 0) continue;
    begun.active = false;
    begun.activate(grid_);
    if (ended.active(position)) relax(ended.at(position), table_.from_note.to_wait, begun);
    if (extra_ended.active(position)) relax(extra_ended.at(position), table_.from_extra.to_wait, begun);
    commit_wait(at, position, begun, find_from(wait, before, position));
  }
}

/// The start of the sung part, at the melody's first note or a later one.
void Lattice::add_begins(std::size_t at, Arrivals& arrivals) const {
  const auto begin_at = [&](std::size_t to, float cost) {
    if (start_score(at) - cost < columns_[at].beam_floor) return;
    begin_path(-cost, arrivals.into_note.activate(to));
  };
  for (std::size_t to = 0; to < std::min(notes_begun_by_count(costs_), targets_.size()); ++to)
    begin_at(to, begin_cost_by_count(to, costs_));
  for (const std::size_t to : jump_targets_.at(at)) begin_at(to, begin_cost_anywhere(targets_, to, costs_));
}

/// From waits to notes other than the next: forward over a passage that is left out, or back for another attempt.
void Lattice::add_jumps(std::size_t at, Arrivals& arrivals) const {
  const auto& waits = columns_[at].waits;
  const auto jump_targets = jump_targets_.at(at);
  const float floor = columns_[at].beam_floor - start_score(at);
  PendingHypotheses jumping;
  float best = log_zero;
  const auto start_over = [&] {
    jumping.active = false;
    jumping.activate(grid_);
    best = log_zero;
  };
  const auto jump_from = [&](const PathHypothesis& wait) {
    relax(grid_, wait, 0, jumping);
    apply_jump_transition(jumping);
    best = std::max(best, wait.top);
  };
  const auto jump_to = [&](std::size_t to, float cost) {
    if (best - cost > floor) relax(jumping, cost, arrivals.into_note.activate(to));
  };
  start_over();
  auto wait = waits.begin();
  for (const std::uint32_t to : jump_targets) {  // forward: from waits at lower positions
    for (; wait != waits.end() && wait->position < to; ++wait) jump_from(*wait);
    jump_to(to, forward_jump_cost(targets_, to, costs_));
  }
  start_over();
  auto last = waits.rbegin();
  for (auto to = jump_targets.rbegin(); to != jump_targets.rend(); ++to) {  // back: from waits at higher positions
    for (; last != waits.rend() && last->position > *to; ++last) jump_from(*last);
    jump_to(*to, restart_cost(targets_, *to, costs_));
  }
}

void Lattice::commit_notes(std::size_t at, Arrivals& arrivals) {
  auto& column = columns_[at];
  auto& into_note = arrivals.into_note;
  for (const PathHypothesis& wait : column.waits)
    if (wait.position < targets_.size())
      relax(grid_, wait, table_.from_wait.to_note, into_note.activate(wait.position));
  for (const std::uint32_t position : arrivals.extra_ended.positions())
    if (position < targets_.size())
      relax(arrivals.extra_ended.at(position), table_.from_extra.to_note, into_note.activate(position));
  add_begins(at, arrivals);
  add_jumps(at, arrivals);
  into_note.sort();
  const float start = start_score(at);
  std::vector<float> tops;
  for (const std::uint32_t position : into_note.positions())
    tops.push_back(highest(into_note.at(position).score) + start);
  std::vector<float> reordered = tops;
  const float least = least_kept(reordered, column);
  auto top = tops.begin();
  for (const std::uint32_t position : into_note.positions())
    if (*top++ >= least) column.notes.push_back(begun(at, State::note, position, into_note.at(position), start));
}

void Lattice::commit_extras(std::size_t at, const Arrivals& arrivals) {
  auto& column = columns_[at];
  const auto &ended = arrivals.note_ended, &extra_ended = arrivals.extra_ended;
  const float cost = costs_.extra_note - start_score(at);
  std::vector<std::uint32_t> positions{0};
  for (const auto* pending : {&ended, &extra_ended})
    positions.insert(positions.end(), pending->positions().begin(), pending->positions().end());
  for (const PathHypothesis& wait : column.waits) positions.push_back(wait.position);
  sort_and_unite(positions);
  PendingHypotheses into;
  auto from = column.waits.cbegin();
  for (const std::uint32_t position : positions) {
    into.active = false;
    into.activate(grid_);
    if (position == 0) begin_path(-cost - table_.from_start.to_extra, into);
    if (ended.active(position)) relax(ended.at(position), cost + table_.from_note.to_extra, into);
    if (extra_ended.active(position)) relax(extra_ended.at(position), cost + table_.from_extra.to_extra, into);
    if (const PathHypothesis* wait = find_from(from, column.waits, position))
      relax(grid_, *wait, cost + table_.from_wait.to_extra, into);
    if (highest(into.score) >= column.beam_floor) column.extras.push_back(begun(at, State::extra, position, into, 0));
  }
}

}  // namespace firmus::decode
