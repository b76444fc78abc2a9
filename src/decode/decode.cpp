#include "decode/decode.hpp"

#include <algorithm>
#include <cmath>

#include "alignment.hpp"
#include "any_notes.hpp"
#include "attempts.hpp"
#include "lattice.hpp"
#include "notes_of_path.hpp"

namespace firmus::decode {
namespace {

// The coarse pass finds key and pace with few boundaries, semitone keys and wide tempo steps; the fine one does the
// work around them.
constexpr float coarse_boundaries_over = -2.0F, fine_boundaries_over = -4.5F;
constexpr int coarse_keys_either_way = 15;  // semitones about the median pitch: octave errors and transposition alike
constexpr double coarse_tempo_step = 1.25, fine_tempo_step = 1.155;
constexpr double shortest_step_s = 0.15, longest_step_s = 2.6;  // sung time of the melody's median step
constexpr double fine_key_step_cents = 50, fine_key_margin_cents = 300;
constexpr double fine_tempo_margin = 1.6;  // times as fast and as slow as the coarse path
constexpr double any_notes_boundaries_over = -2.0;

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double median_step_quarters(const Melody& melody) {
  std::vector<double> steps;
  for (std::size_t j = 1; j < melody.notes.size(); ++j) {
    const double step = (melody.notes[j].onset_quarters - melody.notes[j - 1].onset_quarters).value();
    if (step > 0) steps.push_back(step);
  }
  return steps.empty() ? 1.0 : median(steps);
}

void set_tempi(StateGrid& grid, const Melody& melody, double step) {
  const double quarters = median_step_quarters(melody);
  for (double seconds = shortest_step_s; seconds < longest_step_s; seconds *= step)
    grid.quarter_s.push_back(seconds / quarters);
}

StateGrid coarse_grid(const Observations& observed, const Melody& melody) {
  StateGrid grid;
  std::vector<double> sung, written;
  for (const float hz : observed.f0_track.f0_hz)
    if (hz > 0) sung.push_back(midi_from_hz(Hertz(hz)));
  for (const auto& note : melody.notes) written.push_back(midi_from_hz(note.target_hz));
  const double centre = sung.empty() ? 0 : std::round(median(sung) - median(written));
  for (int k = -coarse_keys_either_way; k <= coarse_keys_either_way; ++k) grid.key_cents.push_back(100 * (centre + k));
  set_tempi(grid, melody, coarse_tempo_step);
  grid.key_step_cost = 2.4F;
  grid.tempo_step_cost = 3.1F;
  return grid;
}

/// The value so far up in what was sung, from 0 the lowest to 1 the highest.
double share_of(std::vector<double>& values, double at) {
  std::ranges::sort(values);
  return values[static_cast<std::size_t>(at * static_cast<double>(values.size() - 1))];
}

StateGrid fine_grid(const Path& coarse, const Melody& melody) {
  StateGrid grid;
  std::vector<double> keys, tempi;
  for (const auto& note : coarse.notes) {
    if (!note.written) continue;
    keys.push_back(note.key_cents);
    tempi.push_back(note.quarter_s);
  }
  if (keys.empty()) keys.push_back(0);
  for (double key = share_of(keys, 0.05) - fine_key_margin_cents; key <= share_of(keys, 0.95) + fine_key_margin_cents;
       key += fine_key_step_cents)
    grid.key_cents.push_back(key);
  set_tempi(grid, melody, fine_tempo_step);
  if (tempi.empty()) return grid;
  const double slowest = share_of(tempi, 0.98) * fine_tempo_margin, fastest = share_of(tempi, 0.02) / fine_tempo_margin;
  std::erase_if(grid.quarter_s, [&](double quarter_s) { return quarter_s > slowest || quarter_s < fastest; });
  return grid;
}

/// The pace of the steps from a written note to the next, as sung: the median, so that a pause or a hurried bar does
/// not count.
std::optional<double> quarters_per_minute(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<double> seconds;
  for (std::size_t i = 1; i < notes.size(); ++i) {
    if (!notes[i].written || !notes[i - 1].written || *notes[i].written != *notes[i - 1].written + 1) continue;
    const auto to = static_cast<std::size_t>(*notes[i].written);
    const double quarters = (melody.notes[to].onset_quarters - melody.notes[to - 1].onset_quarters).value();
    if (quarters > 0) seconds.push_back((notes[i].onset_s - notes[i - 1].onset_s) / quarters);
  }
  if (seconds.empty()) return std::nullopt;
  return 60 / median(seconds);
}

}  // namespace

Decoded decode_melody(const Observations& observed, const Melody& melody) {
  const Costs costs;
  const auto rough = find_boundaries(observed.f0_track.f0_hz, observed.onsets.onset_logit, coarse_boundaries_over);
  const StateGrid coarse = coarse_grid(observed, melody);
  const auto line = target_notes_of(melody, costs);
  const auto anywhere = JumpTargets::candidates_by_intervals(observed.f0_track.f0_hz, rough, line);
  const Path first = Lattice(observed, rough, line, anywhere, coarse, costs).best_path();
  const auto boundaries = find_boundaries(observed.f0_track.f0_hz, observed.onsets.onset_logit, fine_boundaries_over);
  const StateGrid fine = fine_grid(first, melody);
  std::vector<JumpTargets::Found> found;
  for (const auto& note : first.notes)
    if (note.written) found.push_back({rough[note.begin].frame, static_cast<std::size_t>(*note.written)});
  const auto as_found = JumpTargets::near(found, boundaries, line.size());
  const Path path = Lattice(observed, boundaries, line, as_found, fine, costs).best_path();
  Decoded decoded;
  decoded.f0_hz = observed.f0_track.f0_hz;
  decoded.notes = notes_of_path(observed, boundaries, path);
  correct_octave_errors(observed, melody, decoded.notes, decoded.f0_hz);
  drop_speech(melody, decoded.notes);
  sort_out_tries(melody, decoded);
  decoded.quarters_per_minute = quarters_per_minute(melody, decoded.notes);
  assess_alignment(melody, decoded);
  return decoded;
}

Decoded decode_any_notes(const Observations& observed) {
  const auto boundaries =
      find_boundaries(observed.f0_track.f0_hz, observed.onsets.onset_logit, any_notes_boundaries_over);
  Decoded decoded;
  decoded.f0_hz = observed.f0_track.f0_hz;
  decoded.notes = notes_of_path(observed, boundaries, best_any_notes(observed, boundaries, Costs{}));
  return decoded;
}

}  // namespace firmus::decode
