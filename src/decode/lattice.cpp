#include "lattice.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace firmus {
namespace {

float top_of(std::span<const float> plane) {
  float top = impossible;
#pragma omp simd reduction(max : top)
  for (std::size_t c = 0; c < plane.size(); ++c) top = std::max(top, plane[c]);
  return top;
}

/// score = max(score, value), with the last event of the one that wins.
inline void take_better(float value, std::uint32_t event, float& score, std::uint32_t& last_event) {
  const bool better = value > score;
  score = better ? value : score;
  last_event = better ? event : last_event;
}

}  // namespace

Lattice::Lattice(const Evidence& evidence, std::span<const Boundary> boundaries, const Melody& melody, const Grid& grid,
                 const Costs& costs)
    : evidence_(evidence),
      boundaries_(boundaries),
      melody_(melody),
      grid_(grid),
      costs_(costs),
      pitch_(evidence, boundaries),
      into_note_(melody.notes.size()),
      into_closed_(melody.notes.size() + 1),
      into_extra_(melody.notes.size() + 1),
      by_key_(grid.key_cents.size()),
      by_tempo_(grid.quarter_s.size()) {
  open(fresh_);
  std::ranges::fill(fresh_.score, 0.0F);
  for (const auto& note : melody.notes) {
    auto& places = place_.emplace_back();
    for (const double key : grid.key_cents) places.push_back(pitch_.grid_at(100 * midi_from_hz(note.target_hz) + key));
    onset_quarters_.push_back(note.onset_quarters.value());
    const bool optional = note.grace || note.mark == NoteMark::maybe;
    skip_cost_.push_back(optional ? costs.skip_optional : costs.skip_first);
    phrase_start_.push_back(note.index == 0 ||
                            note.phrase != melody.notes[static_cast<std::size_t>(note.index) - 1].phrase);
  }
  for (const double seconds : grid.quarter_s) log_quarter_s_.push_back(static_cast<float>(std::log(seconds)));
}

Lattice::Target& Lattice::open(Target& target) const {
  if (!target.touched) {
    target.touched = true;
    target.score.assign(grid_.cells(), impossible);
    target.last_event.assign(grid_.cells(), 0);
  }
  return target;
}

/// target = max(target, source - cost).
template <typename Source>
void Lattice::offer(Target& target, const Source& source, float cost) const {
  open(target);
  for (std::size_t c = 0; c < source.score.size(); ++c)
    take_better(source.score[c] - cost, source.last_event[c], target.score[c], target.last_event[c]);
}

void Lattice::keep(State& state, const Target& target) {
  state.score = target.score;
  state.last_event = target.last_event;
  state.top = target.top;
}

/// Keeps a note that begins here: lets key and tempo walk (but not over an extra note) and writes the event.
void Lattice::keep_begun(State& state, const Target& target, std::size_t at, std::int32_t what) {
  keep(state, target);
  origin_.resize(grid_.cells());
  std::iota(origin_.begin(), origin_.end(), std::uint16_t{0});
  if (what >= 0) let_walk(grid_, state.score, origin_);
  for (std::uint32_t c = 0; c < origin_.size(); ++c)
    state.last_event[c] = history_.add({target.last_event[origin_[c]], static_cast<std::uint32_t>(at), what, c});
}

float Lattice::start_score(std::size_t at) const {
  return costs_.onset_weight * std::clamp(boundaries_[at].logit, -costs_.onset_clip, costs_.onset_clip);
}

inline float Lattice::duration_cost(float log_ratio) const {
  const float away = std::abs(log_ratio), knee = costs_.duration_knee * costs_.duration_scale;
  return std::min(away / costs_.duration_scale, costs_.duration_knee) +
         costs_.duration_tail * std::max(0.0F, away - knee);
}

/// Cost of so many seconds from the start of note `from` to that of note `to`, for every tempo, to `by_tempo_`. Where
/// notes between were left out, their time may be kept or left out too.
void Lattice::timing(float seconds, std::size_t from, std::size_t to) {
  const double kept = onset_quarters_[to] - onset_quarters_[from],
               dropped = onset_quarters_[from + 1] - onset_quarters_[from];
  if (kept <= 0) {  // a grace note takes its time from its neighbours
    std::ranges::fill(by_tempo_, 0.0F);
    return;
  }
  const bool free = melody_.notes[from].mark == NoteMark::free;
  const float log_kept = std::log(seconds / static_cast<float>(kept));
  const float log_dropped = dropped > 0 ? std::log(seconds / static_cast<float>(dropped)) : log_kept;
  for (std::size_t t = 0; t < by_tempo_.size(); ++t) {
    const float cost = duration_cost(log_kept - log_quarter_s_[t]);
    by_tempo_[t] =
        free && log_kept > log_quarter_s_[t] ? 0.0F : std::min(cost, duration_cost(log_dropped - log_quarter_s_[t]));
  }
}

/// Note j from `begin` ends at `end`: it closes there, and the next note starts there, or the second or third next.
void Lattice::pull_note(const State& state, std::size_t j, std::size_t begin, std::size_t end) {
  const std::size_t keys = by_key_.size(), tempi = by_tempo_.size();
  Target& closed = open(into_closed_[j + 1]);
  for (std::size_t k = 0, c = 0; k < keys; ++k)
    for (std::size_t t = 0; t < tempi; ++t, ++c)
      take_better(state.score[c] + by_key_[k], state.last_event[c], closed.score[c], closed.last_event[c]);
  if (end == boundaries_.size()) return;
  const float seconds = static_cast<float>(frame_of(end) - frame_of(begin)) * static_cast<float>(Evidence::hop_s);
  float skipped = 0;
  for (std::size_t step = 1; step <= 3 && j + step < place_.size(); ++step) {
    if (step > 1) {
      const float cost = skip_cost_[j + step - 1];
      skipped += step == 2 || cost < costs_.skip_first ? cost : costs_.skip_second;
    }
    timing(seconds, j, j + step);
    Target& target = open(into_note_[j + step]);
    for (std::size_t k = 0, c = 0; k < keys; ++k) {
      const float fixed = by_key_[k] - skipped;
      for (std::size_t t = 0; t < tempi; ++t, ++c)
        take_better(state.score[c] + fixed - by_tempo_[t], state.last_event[c], target.score[c], target.last_event[c]);
    }
  }
}

void Lattice::pull_notes(std::size_t begin, std::size_t end, float shortness) {
  for (const std::uint32_t j : columns_[begin].active_notes) {
    const State& state = columns_[begin].note[j];
    float fit = impossible;
    for (std::size_t k = 0; k < by_key_.size(); ++k) {
      by_key_[k] = pitch_.fit(place_[j][k]) - shortness;
      fit = std::max(fit, by_key_[k]);
    }
    if (state.top + fit < best_closed_ - costs_.beam) continue;
    best_closed_ = std::max(best_closed_, state.top + by_key_.front());
    pull_note(state, j, begin, end);
  }
}

void Lattice::pull_extras(std::size_t begin, float shortness) {
  for (const std::uint32_t slot : columns_[begin].active_extras)
    offer(into_extra_[slot], columns_[begin].extra[slot], shortness - pitch_.free_fit());
}

void Lattice::pull(std::size_t end) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / Evidence::hop_s);
  for (auto* targets : {&into_note_, &into_closed_, &into_extra_})
    for (auto& target : *targets) target.touched = false;
  best_closed_ = impossible;
  pitch_.start_at(end);
  for (std::size_t begin = end; begin-- > 0;) {
    const std::size_t frames = frame_of(end) - frame_of(begin);
    if (frames > reach && begin + 1 < end) break;
    pitch_.extend_back();
    if (columns_[begin].active_notes.empty() && columns_[begin].active_extras.empty()) continue;
    pitch_.transform();
    const float missing = static_cast<float>(std::max(0, costs_.least_voiced_frames - pitch_.voiced_frames()));
    const float seconds = static_cast<float>(frames) * static_cast<float>(Evidence::hop_s);
    const float shortness =
        costs_.unvoiced_frame * missing + costs_.short_per_s * std::max(0.0F, costs_.least_note_s - seconds);
    pull_notes(begin, end, shortness);
    pull_extras(begin, shortness);
  }
}

/// A wait goes on from the boundary before, or starts with the end of a note here, whichever is better.
void Lattice::stay_or_end(std::size_t at, std::size_t slot, Target& target) {
  target.touched = false;
  if (into_closed_[slot].touched) offer(target, into_closed_[slot], costs_.wait_entry);
  if (into_extra_[slot].touched) offer(target, into_extra_[slot], 0);
  const State* before = at > 0 && columns_[at - 1].wait[slot].reached() ? &columns_[at - 1].wait[slot] : nullptr;
  if (!target.touched && before == nullptr) return;
  open(target);
  for (std::uint32_t c = 0; c < target.score.size(); ++c) {
    if (before != nullptr && before->score[c] >= target.score[c]) {
      target.score[c] = before->score[c];
      target.last_event[c] = before->last_event[c];
    } else if (target.score[c] > impossible / 2) {
      target.last_event[c] =
          history_.add({target.last_event[c], static_cast<std::uint32_t>(at), History::note_ended, c});
    }
  }
  target.top = top_of(target.score);
}

void Lattice::settle_waits(std::size_t at) {
  auto& column = columns_[at];
  Target target;
  for (std::size_t slot = 1; slot < column.wait.size(); ++slot) {
    stay_or_end(at, slot, target);
    if (!target.touched) continue;
    column.floor = std::max(column.floor, target.top - costs_.beam);
    if (target.top >= column.floor) keep(column.wait[slot], target);
  }
}

void Lattice::offer_begin() {
  const auto most = std::min(place_.size(), static_cast<std::size_t>(costs_.ends_at_most / costs_.begin_late) + 1);
  for (std::size_t j = 0; j < most; ++j) offer(into_note_[j], fresh_, costs_.begin_late * static_cast<float>(j));
}

/// From a wait after any note to any other note: forward over a passage that is left out, or back for another try.
void Lattice::offer_jumps(std::size_t at) {
  const auto& waits = columns_[at].wait;
  Target best;
  open(best);
  float best_top = impossible;
  const auto take_in = [&](std::size_t slot) {
    if (!waits[slot].reached()) return;
    offer(best, waits[slot], 0);
    best_top = std::max(best_top, waits[slot].top);
  };
  const float floor = columns_[at].floor - start_score(at);
  const auto give = [&](std::size_t j, float cost) {
    if (best_top - cost > floor) offer(into_note_[j], best, cost);
  };
  for (std::size_t j = 1; j < place_.size(); ++j) {  // slots below j: forward
    take_in(j - 1);
    give(j, costs_.jump_forward - costs_.wait_entry);
  }
  best.touched = false;
  open(best);
  best_top = impossible;
  for (std::size_t j = place_.size(); j-- > 0;) {  // slots above j: back
    take_in(j + 1);
    const float cost = j == 0             ? costs_.restart_at_begin
                       : phrase_start_[j] ? costs_.restart_at_phrase
                                          : costs_.restart_elsewhere;
    give(j, cost - costs_.wait_entry);
  }
}

void Lattice::settle_notes(std::size_t at) {
  auto& column = columns_[at];
  for (std::size_t j = 0; j < place_.size(); ++j) {
    if (column.wait[j].reached()) offer(into_note_[j], column.wait[j], costs_.untimed);
    if (into_extra_[j].touched) offer(into_note_[j], into_extra_[j], costs_.untimed);
  }
  offer_begin();
  offer_jumps(at);
  const float start = start_score(at);
  for (std::size_t j = 0; j < place_.size(); ++j) {
    Target& target = into_note_[j];
    if (!target.touched) continue;
    target.top = top_of(target.score) + start;
    if (target.top < column.floor) continue;
    for (auto& value : target.score) value += start;
    keep_begun(column.note[j], target, at, static_cast<std::int32_t>(j));
  }
}

void Lattice::settle_extras(std::size_t at) {
  auto& column = columns_[at];
  const float cost = costs_.extra_note - start_score(at);
  Target target;
  for (std::size_t slot = 0; slot < column.extra.size(); ++slot) {
    target.touched = false;
    if (slot == 0) offer(target, fresh_, cost + costs_.extra_entry);
    if (into_closed_[slot].touched) offer(target, into_closed_[slot], cost + costs_.extra_entry);
    if (into_extra_[slot].touched) offer(target, into_extra_[slot], cost);
    if (column.wait[slot].reached()) offer(target, column.wait[slot], cost);
    if (!target.touched) continue;
    target.top = top_of(target.score);
    if (target.top >= column.floor) keep_begun(column.extra[slot], target, at, History::extra_begins);
  }
}

void Lattice::prune(std::size_t at) {
  auto& column = columns_[at];
  float best = impossible;
  for (const auto* states : {&column.note, &column.extra, &column.wait})
    for (const auto& state : *states) best = std::max(best, state.top);
  for (auto* states : {&column.note, &column.extra, &column.wait})
    for (auto& state : *states)
      if (state.reached() && state.top < best - costs_.beam) state = {};
  for (std::uint32_t j = 0; j < column.note.size(); ++j)
    if (column.note[j].reached()) column.active_notes.push_back(j);
  for (std::uint32_t slot = 0; slot < column.extra.size(); ++slot)
    if (column.extra[slot].reached()) column.active_extras.push_back(slot);
}

/// No note that begins in those columns can end here or later: only what is on paths alive is remembered of them.
void Lattice::drop_out_of_reach(std::size_t at) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / Evidence::hop_s);
  for (; first_in_reach_ + 1 < at && frame_of(at) - frame_of(first_in_reach_) > reach; ++first_in_reach_)
    columns_[first_in_reach_] = {};
  if (!history_.is_full()) return;
  std::vector<std::vector<std::uint32_t>*> alive;
  for (std::size_t i = first_in_reach_; i <= at; ++i)
    for (auto* states : {&columns_[i].note, &columns_[i].extra, &columns_[i].wait})
      for (auto& state : *states)
        if (state.reached()) alive.push_back(&state.last_event);
  history_.forget_all_but(alive);
}

Path Lattice::best_path() {
  const std::size_t notes = place_.size();
  columns_.assign(boundaries_.size() + 1, Column{});
  for (std::size_t at = 0; at <= boundaries_.size(); ++at) {
    Column& column = columns_[at];
    column.note.resize(notes);
    column.extra.resize(notes + 1);
    column.wait.resize(notes + 1);
    pull(at);
    settle_waits(at);
    if (at == boundaries_.size()) {
      for (std::size_t slot = 1; slot <= notes; ++slot)  // a last note needs no wait to end the take
        if (into_closed_[slot].touched) keep(column.note[slot - 1], into_closed_[slot]);
      break;
    }
    settle_notes(at);
    settle_extras(at);
    prune(at);
    drop_out_of_reach(at);
  }
  return trace_back();
}

}  // namespace firmus
