#include "steps_and_pauses.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace firmus::bench {
namespace {

using Line = std::vector<double>;

double cents_from(double hz, double to_hz) {
  return 1200 * std::log2(to_hz / hz);
}

std::size_t back_by(std::size_t at, std::size_t frames, std::size_t not_before) {
  return std::max(not_before, at - std::min(at, frames));
}

/// Calls `each(from, to)` for every run of frames that are all voiced, or all not.
template <typename Each>
void for_each_run(const Line& f0_hz, bool voiced, Each each) {
  for (std::size_t from = 0, to = 0; from < f0_hz.size(); from = to) {
    const bool is_voiced = f0_hz[from] > 0;
    for (to = from; to < f0_hz.size() && (f0_hz[to] > 0) == is_voiced;) ++to;
    if (is_voiced == voiced) each(from, to);
  }
}

void gate(const Levels& levels, const NoteRules& rules, Line& f0_hz) {
  const double least_db = std::max(share_of(levels.all_db, 0.05) + rules.above_floor_db,
                                   share_of(levels.all_db, 0.95) - rules.below_top_db);
  f0_hz.resize(std::min(f0_hz.size(), levels.all_db.size()));
  for (std::size_t i = 0; i < f0_hz.size(); ++i)
    if (levels.all_db[i] < least_db) f0_hz[i] = 0;
}

void smooth(const NoteRules& rules, F0Track& track) {
  const F0Track before = track;
  for (std::size_t i = 0; i < track.f0_hz.size(); ++i)
    if (track.f0_hz[i] > 0)
      track.f0_hz[i] = median(before.voiced(back_by(i, rules.median_frames, 0), i + rules.median_frames + 1));
}

/// Moves back short runs that start with a jump of an octave, a twelfth or two octaves.
void correct_octave_errors(const NoteRules& rules, Line& f0_hz) {
  constexpr std::array jumps_cents{1200.0, -1200.0, 1902.0, -1902.0, 2400.0, -2400.0};
  constexpr double near_cents = 120, same_cents = 250;
  for (std::size_t i = 1; i < f0_hz.size(); ++i) {
    if (f0_hz[i] <= 0 || f0_hz[i - 1] <= 0) continue;
    const double jump = cents_from(f0_hz[i - 1], f0_hz[i]);
    const auto error = std::ranges::find_if(jumps_cents, [&](double c) { return std::abs(jump - c) < near_cents; });
    if (error == jumps_cents.end()) continue;
    std::size_t to = i;
    while (to < f0_hz.size() && f0_hz[to] > 0 && std::abs(cents_from(f0_hz[i], f0_hz[to])) < same_cents) ++to;
    if (to - i > rules.longest_octave_frames) continue;
    for (std::size_t k = i; k < to; ++k) f0_hz[k] *= std::exp2(-*error / 1200);
  }
}

void fill_gaps(const NoteRules& rules, Line& f0_hz) {
  constexpr double same_cents = 150;
  for_each_run(Line(f0_hz), false, [&](std::size_t from, std::size_t to) {
    if (from == 0 || to == f0_hz.size() || to - from > rules.longest_gap_frames) return;
    if (std::abs(cents_from(f0_hz[from - 1], f0_hz[to])) < same_cents)
      std::fill(&f0_hz[from], &f0_hz[to], f0_hz[from - 1]);
  });
  for_each_run(Line(f0_hz), true, [&](std::size_t from, std::size_t to) {
    if (to - from < rules.shortest_voiced_frames) std::fill_n(&f0_hz[from], to - from, 0.0);
  });
}

/// Whether the frame is a local maximum; of equal values the first counts.
bool is_peak(const Line& values, std::size_t at, std::size_t from, std::size_t to) {
  for (std::size_t k = from; k < to; ++k)
    if (values[k] > values[at] || (values[k] >= values[at] && k < at)) return false;
  return true;
}

/// The frame from which the pitch is stable again after the step near `at`.
std::size_t arrival(const F0Track& track, std::size_t at, std::size_t from, std::size_t to, const NoteRules& rules) {
  const double goal_hz = median(track.voiced(at, std::min(to, at + rules.step_frames)));
  std::size_t frame = back_by(at, rules.step_frames / 2, from);
  while (frame + 1 < to && std::abs(cents_from(goal_hz, track.f0_hz[frame])) > rules.arrived_cents) ++frame;
  return frame;
}

/// Steps inside one run of voiced frames: where the medians of both sides differ most.
void add_steps(const F0Track& track, std::size_t from, std::size_t to, const NoteRules& rules,
               std::vector<std::size_t>& starts) {
  constexpr std::size_t edge_frames = 3;
  Line differ(track.f0_hz.size(), 0.0);
  for (std::size_t i = from + edge_frames; i + edge_frames < to; ++i)
    differ[i] = std::abs(cents_from(median(track.voiced(back_by(i, rules.step_frames, from), i)),
                                    median(track.voiced(i, std::min(to, i + rules.step_frames)))));
  for (std::size_t i = from; i < to; ++i) {
    if (differ[i] <= rules.step_cents) continue;
    if (!is_peak(differ, i, back_by(i, rules.step_frames, from), std::min(to, i + rules.step_frames + 1))) continue;
    std::size_t last = i;  // a flat maximum counts at its middle
    while (last + 1 < to && differ[last + 1] >= differ[i]) ++last;
    starts.push_back(arrival(track, (i + last) / 2, from, to, rules));
  }
}

/// Where the level rises again after a dip inside a run.
void add_dips(const Line& level_db, std::size_t from, std::size_t to, const NoteRules& rules,
              std::vector<std::size_t>& starts) {
  Line depth(level_db.size());
  std::ranges::transform(level_db, depth.begin(), [](double db) { return -db; });
  for (std::size_t i = from + 2; i + 2 < to; ++i) {
    const std::size_t half = rules.dip_frames / 2, begin = back_by(i, rules.dip_frames, from);
    if (!is_peak(depth, i, back_by(i, half, from), std::min(to, i + half + 1))) continue;
    const auto at = [&](std::size_t frame) { return level_db.begin() + static_cast<std::ptrdiff_t>(frame); };
    const auto left = std::max_element(at(begin), at(i));
    const auto right = std::max_element(at(i + 1), at(std::min(to, i + rules.dip_frames + 1)));
    if (std::min(*left, *right) - level_db[i] <= rules.dip_db) continue;
    const auto half_way = std::find_if(at(i), right, [&](double db) { return db >= (level_db[i] + *right) / 2; });
    starts.push_back(static_cast<std::size_t>(half_way - level_db.begin()));
  }
}

SungNote note_at(const F0Track& track, const Levels& levels, std::size_t from, std::size_t to, const NoteRules& rules) {
  const auto& level_db = levels.high_db;
  const auto level = level_db.begin();
  const double loudest =
      *std::max_element(level + static_cast<std::ptrdiff_t>(from), level + static_cast<std::ptrdiff_t>(to));
  std::size_t end = to;
  while (end > from + (to - from) / 2 && level_db[end - 1] < loudest - rules.end_below_db) --end;
  constexpr double shortest_s = 0.03;
  const double onset_s = static_cast<double>(from) * track.hop_s;
  return {onset_s + rules.onset_shift_s,
          std::max(onset_s + shortest_s, static_cast<double>(end) * track.hop_s + rules.end_shift_s),
          median(track.voiced(from + (to - from) / 5, to - (to - from) / 5))};
}

void add_notes_of_run(const F0Track& track, const Levels& levels, std::size_t from, std::size_t to,
                      const NoteRules& rules, std::vector<SungNote>& notes) {
  std::vector<std::size_t> inner, starts{from};
  add_steps(track, from, to, rules, inner);
  add_dips(levels.high_db, from, to, rules, inner);
  std::ranges::sort(inner);
  for (const std::size_t at : inner)
    if (at >= starts.back() + rules.shortest_note_frames && at + rules.shortest_note_frames <= to) starts.push_back(at);
  const double shortest_s = 0.7 * static_cast<double>(rules.shortest_note_frames) * track.hop_s;
  for (std::size_t i = 0; i < starts.size(); ++i) {
    SungNote note = note_at(track, levels, starts[i], i + 1 < starts.size() ? starts[i + 1] : to, rules);
    if (i > 0) note.onset_s += rules.inner_shift_s;
    if (note.end_s - note.onset_s >= shortest_s) notes.push_back(note);
  }
}

}  // namespace

NoteRules best_yinfft_rules() {
  return {"yinfft", 0, 2, 12, 18, 14, 10, 11, 60, 28, 130, 60, 50, 7.5, 40, 0.010, 0.015, -0.035, 30};
}

NoteRules best_yinfast_rules() {
  return {"yinfast", 0.275, 3, 7, 21, 7, 20, 7, 40, 26, 130, 38, 51, 6, 37, 0.010, 0.015, -0.039, 38};
}

NoteRules best_rapt_rules() {
  return {"RAPT", 0, -3, 3, 22, 1, 10, 0, 130, 27, 134, 38, 51, 6.75, 33, -0.003, 0.019, -0.042, 43};
}

NoteRules best_swipe_rules() {
  return {"SWIPE'", 0, 0, 9, 20, 13, 10, 11, 110, 18, 107, 30, 53, 7.5, 35, 0.010, 0.015, -0.039, 38};
}

F0Track tidy_track(const Sound& sound, const Levels& levels, const NoteRules& rules) {
  F0Track track = track_f0(sound, rules.tracker, rules.least_confidence, rules.lag_frames);
  gate(levels, rules, track.f0_hz);
  smooth(rules, track);
  correct_octave_errors(rules, track.f0_hz);
  fill_gaps(rules, track.f0_hz);
  return track;
}

std::vector<SungNote> notes_by_steps(const F0Track& tidy, const Levels& levels, const NoteRules& rules) {
  std::vector<SungNote> notes;
  for_each_run(tidy.f0_hz, true,
               [&](std::size_t from, std::size_t to) { add_notes_of_run(tidy, levels, from, to, rules, notes); });
  return notes;
}

}  // namespace firmus::bench
