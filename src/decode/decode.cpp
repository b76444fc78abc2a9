#include "decode/decode.hpp"

#include <algorithm>
#include <cmath>

#include "any_notes.hpp"
#include "joined_notes.hpp"
#include "lattice.hpp"
#include "notes_of_path.hpp"
#include "upper_median.hpp"

namespace firmus::decode {
namespace {

// The coarse search finds the range of key and tempo with few boundaries, semitone keys and wide tempo steps; the fine
// search decides within that range.
constexpr float coarse_least_logit = -2.0F, fine_least_logit = -4.5F;
constexpr int coarse_keys_either_way =
    15;  // semitones about the median pitch: room for octave errors and transposition
constexpr double coarse_tempo_step = 1.25, fine_tempo_step = 1.155;
constexpr double shortest_quick_step_s = 0.075, shortest_step_s = 0.15,
                 longest_step_s = 2.6;  // sung time of the melody's median interval between onsets
constexpr double fine_key_step_cents = 50, fine_key_margin_cents = 300;
constexpr double fine_tempo_margin = 1.6;  // factor beyond the fastest and the slowest of the coarse path
constexpr float any_notes_least_logit = -2.0F;
constexpr float quick_least_note_s = 0.06F;
constexpr int quick_least_voiced_frames = 8;
constexpr double quick_least_share = 0.8;  // of the written notes

double median_step_quarters(const Melody& melody) {
  std::vector<double> steps;
  for (std::size_t j = 1; j < melody.notes.size(); ++j) {
    const double step = (melody.notes[j].onset_quarters - melody.notes[j - 1].onset_quarters).value();
    if (step > 0) steps.push_back(step);
  }
  return steps.empty() ? 1.0 : upper_median(steps);
}

void set_tempi(StateGrid& grid, const Melody& melody, double step, NoteLengths lengths) {
  const double quarters = median_step_quarters(melody);
  if (lengths == NoteLengths::quick)  // besides the others, which stay what they are
    for (double seconds = shortest_step_s / step; seconds > shortest_quick_step_s; seconds /= step)
      grid.quarter_s.insert(grid.quarter_s.begin(), seconds / quarters);
  for (double seconds = shortest_step_s; seconds < longest_step_s; seconds *= step)
    grid.quarter_s.push_back(seconds / quarters);
}

StateGrid coarse_grid(const Observations& observed, const Melody& melody, NoteLengths lengths) {
  StateGrid grid;
  std::vector<double> sung, written;
  for (const float hz : observed.f0_track.f0_hz)
    if (hz > 0) sung.push_back(midi_from_hz(Hertz(hz)));
  for (const auto& note : melody.notes) written.push_back(midi_from_hz(note.target_hz));
  const double centre = sung.empty() ? 0 : std::round(upper_median(sung) - upper_median(written));
  for (int k = -coarse_keys_either_way; k <= coarse_keys_either_way; ++k) grid.key_cents.push_back(100 * (centre + k));
  set_tempi(grid, melody, coarse_tempo_step, lengths);
  grid.key_step_cost = 2.4F;
  grid.tempo_step_cost = 3.1F;
  return grid;
}

/// Quantile without interpolation, from the lowest value at 0 to the highest at 1. Sorts `values`.
double quantile(std::vector<double>& values, double share) {
  std::ranges::sort(values);
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
}

StateGrid fine_grid(const Path& coarse, const Melody& melody, NoteLengths lengths) {
  StateGrid grid;
  std::vector<double> keys, tempi;
  for (const auto& note : coarse.notes) {
    if (!note.written) continue;
    keys.push_back(note.key_cents);
    tempi.push_back(note.quarter_s);
  }
  if (keys.empty()) keys.push_back(0);
  for (double key = quantile(keys, 0.05) - fine_key_margin_cents; key <= quantile(keys, 0.95) + fine_key_margin_cents;
       key += fine_key_step_cents)
    grid.key_cents.push_back(key);
  set_tempi(grid, melody, fine_tempo_step, lengths);
  if (tempi.empty()) return grid;
  const double slowest = quantile(tempi, 0.98) * fine_tempo_margin, fastest = quantile(tempi, 0.02) / fine_tempo_margin;
  std::erase_if(grid.quarter_s, [&](double quarter_s) { return quarter_s > slowest || quarter_s < fastest; });
  return grid;
}

/// Written notes of a path, with the frames where they begin.
std::vector<JumpTargets::Found> found_by(const Path& path, std::span<const Boundary> boundaries) {
  std::vector<JumpTargets::Found> found;
  for (const auto& note : path.notes)
    for (std::size_t k = 0; note.written && k < note.count; ++k)
      found.push_back({boundaries[note.begin].frame, static_cast<std::size_t>(*note.written) + k});
  return found;
}

std::vector<Boundary> boundaries_of(const Observations& observed, float least_logit,
                                    NoteLengths lengths = NoteLengths::usual) {
  auto boundaries = find_boundaries(observed.f0_track.f0_hz, observed.onsets.onset_logit, least_logit, lengths);
  const std::size_t end = observed.end_of_notes();
  std::erase_if(boundaries, [&](const Boundary& boundary) { return boundary.frame >= end; });
  return boundaries;
}

Costs costs_of(const Observations& observed, NoteLengths lengths) {
  Costs costs;
  if (lengths == NoteLengths::quick) {
    costs.least_note_s = quick_least_note_s;
    costs.least_voiced_frames = quick_least_voiced_frames;
    costs.speech_prior = 0;  // quick notes hold their pitch no longer than speech does
  }
  if (observed.ends_in_sound()) {
    costs.end_early = costs.cut_off;
    costs.ends_at_most = costs.cut_off_at_most;
  }
  if (observed.begins_in_sound()) {
    costs.begin_late = costs.cut_off;
    costs.begins_in_the_middle = costs.cut_off_at_most;
  }
  return costs;
}

Decoded decode_with(const Observations& observed, const Melody& melody, NoteLengths lengths) {
  const Costs costs = costs_of(observed, lengths);
  const auto targets = target_notes_of(melody, costs);
  const float least = lengths == NoteLengths::quick ? fine_least_logit : coarse_least_logit;
  const auto few_boundaries = boundaries_of(observed, least, lengths);
  const StateGrid coarse = coarse_grid(observed, melody, lengths);
  const auto by_intervals = JumpTargets::candidates_by_intervals(observed.f0_track.f0_hz, few_boundaries, targets);
  const Path first = Lattice(observed, few_boundaries, targets, by_intervals, coarse, costs).best_path();
  const auto boundaries = boundaries_of(observed, fine_least_logit, lengths);
  const StateGrid fine = fine_grid(first, melody, lengths);
  const auto as_found = JumpTargets::near(found_by(first, few_boundaries), boundaries, targets.size());
  const Path path = Lattice(observed, boundaries, targets, as_found, fine, costs).best_path();
  const SplitPath split = split_joined_notes(observed, boundaries, path, targets);
  return notes_of_path(observed, split.boundaries, split.path, melody);
}

}  // namespace
}  // namespace firmus::decode

namespace firmus {

Decoded decode_melody(const Observations& observed, const Melody& melody) {
  using namespace decode;
  Decoded usual = decode_with(observed, melody, NoteLengths::usual);
  if (usual.decision == AlignmentDecision::sure) return usual;
  Decoded quick = decode_with(observed, melody, NoteLengths::quick);
  if (quick.decision != AlignmentDecision::sure || quick.confidence <= usual.confidence) return usual;
  // Where notes are so quick that the f0 track blurs them, whole phrases go missing.
  if (quick.matched_share < quick_least_share) quick.decision = AlignmentDecision::listen;
  return quick;
}

Decoded decode_any_notes(const Observations& observed) {
  using namespace decode;
  const auto boundaries = boundaries_of(observed, any_notes_least_logit);
  return notes_of_path(observed, boundaries, best_any_notes(observed, boundaries, Costs{}));
}

}  // namespace firmus
