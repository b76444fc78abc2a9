#include "lattice.hpp"

#include <algorithm>
#include <cmath>

namespace firmus {

/// What flows into one boundary, before it is known whether it is worth keeping.
struct Lattice::Accumulator {
  struct Target {
    Plane score;
    std::vector<Arc> arc;
    bool touched = false;
  };
  std::vector<Target> note;          ///< by written note
  std::vector<Target> closed;        ///< by slot: the last note ended here
  std::vector<Target> extra_closed;  ///< by slot: an extra note ended here
  std::size_t cells;

  Accumulator(std::size_t notes, std::size_t cell_count)
      : note(notes), closed(notes + 1), extra_closed(notes + 1), cells(cell_count) {}
  Target& open(Target& target) const {
    if (!target.touched) {
      target.touched = true;
      target.score.assign(cells, impossible);
      target.arc.assign(cells, Arc{});
    }
    return target;
  }
  /// target = max(target, source - cost), remembering `arc` where the source wins.
  void offer(Target& target, const Plane& source, float cost, Arc arc) const {
    open(target);
    for (std::size_t c = 0; c < cells; ++c) {
      const float value = source[c] - cost;
      if (value > target.score[c]) {
        target.score[c] = value;
        target.arc[c] = arc;
      }
    }
  }
};

Lattice::Lattice(const Evidence& evidence, std::span<const Boundary> boundaries, const Melody& melody, const Grid& grid,
                 const Costs& costs)
    : evidence_(evidence),
      boundaries_(boundaries),
      melody_(melody),
      grid_(grid),
      costs_(costs),
      pitch_(evidence, boundaries) {
  for (const auto& note : melody.notes) {
    auto& places = place_.emplace_back();
    for (const double key : grid.key_cents) places.push_back(pitch_.grid_at(100 * midi_from_hz(note.target_hz) + key));
    onset_quarters_.push_back(note.onset_quarters.value());
    const bool optional = note.grace || note.mark == NoteMark::maybe;
    skip_cost_.push_back(optional ? costs.skip_optional : costs.skip_first);
    phrase_start_.push_back(note.index == 0 ||
                            note.phrase != melody.notes[static_cast<std::size_t>(note.index) - 1].phrase);
  }
  onset_quarters_.push_back(onset_quarters_.back() + melody.notes.back().length_quarters.value());
  for (const double seconds : grid.quarter_s) log_quarter_s_.push_back(std::log(seconds));
}

float Lattice::start_score(std::size_t at) const {
  return costs_.onset_weight * std::clamp(boundaries_[at].logit, -costs_.onset_clip, costs_.onset_clip);
}

float Lattice::duration_cost(double log_ratio) const {
  const double away = std::abs(log_ratio), knee = costs_.duration_knee * costs_.duration_scale;
  return static_cast<float>(std::min(away / costs_.duration_scale, static_cast<double>(costs_.duration_knee)) +
                            costs_.duration_tail * std::max(0.0, away - knee));
}

/// Cost of so many seconds from the start of note `from` to that of note `to`, for every tempo. Where notes between
/// were left out their time may be kept or left out too.
void Lattice::timing(double seconds, int from, int to, std::vector<float>& cost) const {
  const auto quarters = [&](int a, int b) {
    return onset_quarters_[static_cast<std::size_t>(b)] - onset_quarters_[static_cast<std::size_t>(a)];
  };
  const double kept = quarters(from, to), dropped = quarters(from, from + 1);
  const bool free = melody_.notes[static_cast<std::size_t>(from)].mark == NoteMark::free;
  cost.resize(grid_.quarter_s.size());
  for (std::size_t t = 0; t < cost.size(); ++t) {
    if (kept <= 0) {  // a grace note takes its time from its neighbours
      cost[t] = 0;
      continue;
    }
    const double ratio = std::log(seconds / kept) - log_quarter_s_[t];
    cost[t] = free && ratio > 0 ? 0.0F : duration_cost(ratio);
    if (to > from + 1 && dropped > 0)
      cost[t] = std::min(cost[t], duration_cost(std::log(seconds / dropped) - log_quarter_s_[t]));
  }
}

void Lattice::pull_notes(std::size_t begin, std::size_t end, float shortness, Accumulator& into) {
  const std::size_t keys = grid_.key_cents.size(), tempi = grid_.quarter_s.size();
  const double seconds = static_cast<double>((end < boundaries_.size() ? boundaries_[end].frame : evidence_.frames()) -
                                             boundaries_[begin].frame) *
                         Evidence::hop_s;
  const auto back = static_cast<std::uint32_t>(end - begin);
  std::vector<float> by_key(keys), by_tempo;
  for (const std::uint32_t j : columns_[begin].active_notes) {
    const State& state = columns_[begin].note[j];
    for (std::size_t k = 0; k < keys; ++k) by_key[k] = pitch_.fit(place_[j][k]) - shortness;
    Plane ended(state.score);
    for (std::size_t k = 0; k < keys; ++k)
      for (std::size_t t = 0; t < tempi; ++t) ended[k * tempi + t] += by_key[k];
    into.offer(into.closed[j + 1], ended, 0, {From::closed, back});
    if (end == boundaries_.size()) continue;
    float skipped = 0;
    for (std::uint32_t step = 1; step <= 3 && j + step < place_.size(); ++step) {
      if (step > 1)
        skipped +=
            step == 2 || skip_cost_[j + step - 1] < costs_.skip_first ? skip_cost_[j + step - 1] : costs_.skip_second;
      timing(seconds, static_cast<int>(j), static_cast<int>(j + step), by_tempo);
      auto& target = into.open(into.note[j + step]);
      const Arc arc{step == 1 ? From::next : step == 2 ? From::skip_one : From::skip_two, back};
      for (std::size_t k = 0, c = 0; k < keys; ++k)
        for (std::size_t t = 0; t < tempi; ++t, ++c) {
          const float value = ended[c] - by_tempo[t] - skipped;
          if (value > target.score[c]) {
            target.score[c] = value;
            target.arc[c] = arc;
          }
        }
    }
  }
}

void Lattice::pull_extras(std::size_t begin, std::size_t end, float shortness, Accumulator& into) {
  const auto back = static_cast<std::uint32_t>(end - begin);
  for (const std::uint32_t slot : columns_[begin].active_extras)
    into.offer(into.extra_closed[slot], columns_[begin].extra[slot].score, shortness - pitch_.free_fit(),
               {From::extra, back});
}

void Lattice::pull(std::size_t end, Accumulator& into) {
  const std::size_t end_frame = end < boundaries_.size() ? boundaries_[end].frame : evidence_.frames();
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / Evidence::hop_s);
  pitch_.start_at(end);
  for (std::size_t begin = end; begin-- > 0;) {
    if (end_frame - boundaries_[begin].frame > reach && begin + 1 < end) break;
    pitch_.extend_back();
    if (columns_[begin].active_notes.empty() && columns_[begin].active_extras.empty()) continue;
    pitch_.transform();
    const float missing = static_cast<float>(std::max(0, costs_.least_voiced_frames - pitch_.voiced_frames()));
    const float seconds =
        static_cast<float>(end_frame - boundaries_[begin].frame) * static_cast<float>(Evidence::hop_s);
    const float shortness =
        costs_.unvoiced_frame * missing + costs_.short_per_s * std::max(0.0F, costs_.least_note_s - seconds);
    pull_notes(begin, end, shortness, into);
    pull_extras(begin, end, shortness, into);
  }
}

void Lattice::settle_waits(std::size_t at, Accumulator& from) {
  auto& column = columns_[at];
  for (std::size_t slot = 1; slot < column.wait.size(); ++slot) {
    Accumulator::Target target;
    if (from.closed[slot].touched) {
      from.open(target);
      for (std::size_t c = 0; c < from.cells; ++c) {
        target.score[c] = from.closed[slot].score[c] - costs_.wait_entry;
        target.arc[c] = from.closed[slot].arc[c];
      }
    }
    if (from.extra_closed[slot].touched) {
      from.open(target);
      for (std::size_t c = 0; c < from.cells; ++c)
        if (from.extra_closed[slot].score[c] > target.score[c]) {
          target.score[c] = from.extra_closed[slot].score[c];
          target.arc[c] = from.extra_closed[slot].arc[c];
        }
    }
    if (at > 0 && columns_[at - 1].wait[slot].reached())
      from.offer(target, columns_[at - 1].wait[slot].score, 0, {From::stay, 1});
    if (!target.touched) continue;
    column.floor = std::max(column.floor, *std::ranges::max_element(target.score) - costs_.beam);
    column.wait[slot] = {std::move(target.score), std::move(target.arc), {}};
  }
}

void Lattice::offer_begin(Accumulator& into) const {
  const Plane fresh(into.cells, 0.0F);
  const auto most = std::min(place_.size(), static_cast<std::size_t>(costs_.ends_at_most / costs_.begin_late) + 1);
  for (std::size_t j = 0; j < most; ++j)
    into.offer(into.note[j], fresh, costs_.begin_late * static_cast<float>(j), {From::begin, 0});
}

/// From a wait after any note to any other note: forward over a passage that is left out, or back for another try.
void Lattice::offer_jumps(std::size_t at, Accumulator& into) const {
  const auto& waits = columns_[at].wait;
  Plane best(into.cells, impossible);
  std::vector<std::uint32_t> slot_of(into.cells, 0);
  const auto take_in = [&](std::size_t slot) {
    if (!waits[slot].reached()) return;
    for (std::size_t c = 0; c < into.cells; ++c)
      if (waits[slot].score[c] > best[c]) {
        best[c] = waits[slot].score[c];
        slot_of[c] = static_cast<std::uint32_t>(slot);
      }
  };
  const auto give = [&](std::size_t j, float cost) {
    if (*std::ranges::max_element(best) - cost + costs_.onset_weight * costs_.onset_clip < columns_[at].floor) return;
    auto& target = into.open(into.note[j]);
    for (std::size_t c = 0; c < into.cells; ++c)
      if (best[c] - cost > target.score[c]) {
        target.score[c] = best[c] - cost;
        target.arc[c] = {From::jump, slot_of[c]};
      }
  };
  for (std::size_t j = 0; j < place_.size(); ++j) {  // slots below j: forward
    if (j > 0) take_in(j - 1);
    give(j, costs_.jump_forward - costs_.wait_entry);
  }
  std::ranges::fill(best, impossible);
  for (std::size_t j = place_.size(); j-- > 0;) {  // slots above j: back
    take_in(j + 1);
    const float cost = j == 0             ? costs_.restart_at_begin
                       : phrase_start_[j] ? costs_.restart_at_phrase
                                          : costs_.restart_elsewhere;
    give(j, cost - costs_.wait_entry);
  }
}

void Lattice::settle_notes(std::size_t at, Accumulator& from) {
  auto& column = columns_[at];
  for (std::size_t j = 0; j < place_.size(); ++j) {
    if (column.wait[j].reached()) from.offer(from.note[j], column.wait[j].score, costs_.untimed, {From::wait, 0});
    if (j > 0 && from.extra_closed[j].touched) {
      auto& target = from.open(from.note[j]);
      for (std::size_t c = 0; c < from.cells; ++c)
        if (from.extra_closed[j].score[c] - costs_.untimed > target.score[c]) {
          target.score[c] = from.extra_closed[j].score[c] - costs_.untimed;
          target.arc[c] = from.extra_closed[j].arc[c];
        }
    }
  }
  offer_begin(from);
  offer_jumps(at, from);
  const float start = start_score(at);
  for (std::size_t j = 0; j < place_.size(); ++j) {
    auto& target = from.note[j];
    if (!target.touched) continue;
    if (*std::ranges::max_element(target.score) + start < column.floor) continue;
    for (auto& value : target.score) value += start;
    State& state = column.note[j] = {std::move(target.score), std::move(target.arc), {}};
    let_walk(grid_, state.score, state.origin);
  }
}

void Lattice::settle_extras(std::size_t at, Accumulator& from) {
  auto& column = columns_[at];
  const float cost = costs_.extra_note - start_score(at);
  for (std::size_t slot = 0; slot < column.extra.size(); ++slot) {
    Accumulator::Target target;
    const auto add = [&](const Accumulator::Target& closed, float entry) {
      if (!closed.touched) return;
      from.open(target);
      for (std::size_t c = 0; c < from.cells; ++c)
        if (closed.score[c] - cost - entry > target.score[c]) {
          target.score[c] = closed.score[c] - cost - entry;
          target.arc[c] = closed.arc[c];
        }
    };
    if (slot == 0) from.offer(target, Plane(from.cells, 0.0F), cost + costs_.extra_entry, {From::begin, 0});
    add(from.closed[slot], costs_.extra_entry);
    add(from.extra_closed[slot], 0);
    if (column.wait[slot].reached()) from.offer(target, column.wait[slot].score, cost, {From::wait, 0});
    if (target.touched) column.extra[slot] = {std::move(target.score), std::move(target.arc), {}};
  }
}

void Lattice::prune(std::size_t at) {
  auto& column = columns_[at];
  const auto top = [](const State& state) {
    return state.reached() ? *std::ranges::max_element(state.score) : impossible;
  };
  float best = impossible;
  for (const auto* states : {&column.note, &column.extra, &column.wait})
    for (const auto& state : *states) best = std::max(best, top(state));
  for (auto* states : {&column.note, &column.extra, &column.wait})
    for (auto& state : *states)
      if (state.reached() && top(state) < best - costs_.beam) state = {};
  for (std::uint32_t j = 0; j < column.note.size(); ++j)
    if (column.note[j].reached()) column.active_notes.push_back(j);
  for (std::uint32_t slot = 0; slot < column.extra.size(); ++slot)
    if (column.extra[slot].reached()) column.active_extras.push_back(slot);
}

Path Lattice::best_path() {
  const std::size_t notes = place_.size();
  columns_.assign(boundaries_.size() + 1, Column{});
  for (std::size_t at = 0; at <= boundaries_.size(); ++at) {
    columns_[at].note.resize(notes);
    columns_[at].extra.resize(notes + 1);
    columns_[at].wait.resize(notes + 1);
    Accumulator into(notes, grid_.cells());
    pull(at, into);
    settle_waits(at, into);
    if (at == boundaries_.size()) {
      for (std::size_t slot = 1; slot <= notes; ++slot)  // a last note needs no wait to end the take
        if (into.closed[slot].touched)
          columns_[at].note[slot - 1] = {std::move(into.closed[slot].score), std::move(into.closed[slot].arc), {}};
      break;
    }
    settle_notes(at, into);
    settle_extras(at, into);
    prune(at);
  }
  return trace_back();
}

Path Lattice::trace_back() const {
  const std::size_t last = boundaries_.size(), notes = place_.size();
  Path path;
  enum class In { note, extra, wait } in = In::wait;
  std::size_t at = last, index = 0, cell = 0;
  for (std::size_t slot = 1; slot <= notes; ++slot) {
    const float ends = std::min(costs_.end_early * static_cast<float>(notes - slot), costs_.ends_at_most);
    const auto consider = [&](const State& state, float extra_cost, In kind, std::size_t where) {
      if (!state.reached()) return;
      const auto best = std::ranges::max_element(state.score);
      if (*best - ends - extra_cost <= path.score) return;
      path.score = *best - ends - extra_cost;
      in = kind;
      index = where;
      cell = static_cast<std::size_t>(best - state.score.begin());
    };
    consider(columns_[last].wait[slot], 0, In::wait, slot);
    consider(columns_[last].note[slot - 1], 0, In::note, slot);  // closed at the end; see best_path
  }
  if (path.score <= impossible / 2) return path;
  // At the sentinel `note` holds closed notes, whose arcs read like a wait's.
  const State* state = in == In::wait ? &columns_[last].wait[index] : &columns_[last].note[index - 1];
  in = In::wait;
  const std::size_t tempi = grid_.quarter_s.size();
  const auto begin_note = [&](std::size_t begin, std::size_t end, std::optional<int> written, std::size_t in_cell,
                              float score) {
    path.notes.push_back(
        {begin, end, written, grid_.key_cents[in_cell / tempi], grid_.quarter_s[in_cell % tempi], score});
  };
  for (;;) {
    if (in == In::note) cell = state->origin[cell];
    const Arc arc = state->arc[cell];
    if (arc.from == From::begin) break;
    if (arc.from == From::next || arc.from == From::skip_one || arc.from == From::skip_two) {
      index -= 1 + (arc.from == From::skip_one ? 1 : arc.from == From::skip_two ? 2 : 0);
      in = In::note;
    } else if (arc.from == From::closed) {
      index -= 1;
      in = In::note;
    } else if (arc.from == From::extra) {
      in = In::extra;
    } else if (arc.from == From::jump) {
      index = arc.source;
      in = In::wait;
    } else {  // wait, stay
      in = In::wait;
    }
    const std::size_t end = at;
    if (arc.from == From::stay || in != In::wait) at -= arc.source;
    state = in == In::note    ? &columns_[at].note[index]
            : in == In::extra ? &columns_[at].extra[index]
                              : &columns_[at].wait[index];
    if (in == In::note) begin_note(at, end, static_cast<int>(index), cell, state->score[cell]);
    if (in == In::extra) begin_note(at, end, std::nullopt, cell, state->score[cell]);
  }
  std::ranges::reverse(path.notes);
  return path;
}

}  // namespace firmus
