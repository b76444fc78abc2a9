#include <cmath>

#include "assemble.hpp"
#include "measure/measure.hpp"
#include "note_rows.hpp"
#include "practice/spelling.hpp"

namespace firmus::take {
namespace {

constexpr double semitone_centre_cents = 50;  // half a semitone: beyond it the names move to the next one

/// A clear note with what it is named.
struct NamedNote {
  NoteResult* row = nullptr;
  std::size_t place = 0;  ///< in the take
  SpelledPitch pitch;
  double target_hz = 0;
  double time_s() const { return (*row->onset_s + *row->end_s) / 2; }
};

/// The note of the tuning nearest to a frequency.
SpelledPitch nearest_in_tuning(Hertz frequency, const Tuning& tuning, Hertz a4) {
  const double midi = midi_from_hz(frequency, a4);
  SpelledPitch best;
  double least = 1e9;
  for (const int semitone : {-1, 0, 1}) {
    const SpelledPitch pitch = nearest_pitch(hz_from_midi(std::round(midi) + semitone, a4), a4);
    const double off = std::abs(cents_between(target_hz(pitch, tuning, a4), frequency));
    if (off < least) least = off, best = pitch;
  }
  return best;
}

PitchGrid grid_of(const Tuning& tuning) {
  PitchGrid grid;
  for (int semitone = 0; semitone < 12; ++semitone)
    grid.push_back(std::fmod(
        1200 + 100.0 * semitone + tuning_offset_cents(tuning, nearest_pitch(hz_from_midi(60 + semitone), Hertz(440))),
        1200));
  return grid;
}

std::vector<NamedNote> clear_notes(std::vector<NoteResult>& rows) {
  std::vector<NamedNote> notes;
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (rows[i].sung_hz && !rows[i].unclear_reason) notes.push_back({&rows[i], i, {}, 0});
  return notes;
}

GridFit fit_centre(const std::vector<NamedNote>& notes, const Tuning& tuning, Hertz a4) {
  std::vector<GridNote> on_grid;
  for (const NamedNote& note : notes) on_grid.push_back({note.time_s(), cents_above_c0(Hertz(*note.row->sung_hz), a4)});
  GridFit fit = fit_pitch_grid(on_grid, grid_of(tuning), semitone_centre_cents);
  return fit.clear ? fit : GridFit{};
}

/// The interval from the note before, named by the semitones nearest to what was sung: the names of its two notes may
/// each be off by half a semitone, and without a key no spelling is right.
void add_interval(const NamedNote& before, const NamedNote& note) {
  const double sung = cents_between(Hertz(*before.row->sung_hz), Hertz(*note.row->sung_hz));
  const auto semitones = static_cast<int>(std::lround(sung / 100));
  const Interval interval = practice::interval_of_semitones(semitones);
  note.row->interval_name = interval_name(interval);
  note.row->interval_direction = interval.direction;
  note.row->interval_written_cents = 100.0 * semitones;
  note.row->errors.interval_cents = sung - 100.0 * semitones;
}

void name_notes(Result& result, std::vector<NamedNote>& notes, const Tuning& tuning) {
  const Hertz a4 = result.settings.a4_hz;
  const GridFit fit = fit_centre(notes, tuning, a4);
  std::vector<JudgedNote> for_curve;
  for (NamedNote& note : notes) {
    const Hertz in_tune = transposed(Hertz(*note.row->sung_hz), Cents(-fit.at(note.time_s())));
    note.pitch = nearest_in_tuning(in_tune, tuning, a4);
    note.target_hz = target_hz(note.pitch, tuning, a4);
    note.row->written = pitch_name(note.pitch);
    note.row->errors.concert_cents = cents_between(Hertz(note.target_hz), Hertz(*note.row->sung_hz));
    for_curve.push_back({*note.row->index, note.time_s(), *note.row->sung_hz, note.target_hz});
  }
  for (std::size_t i = 1; i < notes.size(); ++i)
    if (notes[i].place == notes[i - 1].place + 1) add_interval(notes[i - 1], notes[i]);
  if (!fit.clear) return;
  const TuningCurve curve = fit_tuning_curve(for_curve);
  for (std::size_t i = 0; i < notes.size(); ++i) notes[i].row->errors.own_cents = curve.errors[i].own_cents;
  result.key_segments = curve.key_segments;
  result.centre_cents = curve.centre_cents;
  result.centre_a4_hz = transposed(a4, Cents(curve.centre_cents));
}

}  // namespace

void measure_against_nearest_notes(Result& result, const Decoded& decoded, std::span<const NotePitch> pitches) {
  const Tuning tuning = parse_tuning(result.settings.tuning, Key{}).value_or(Tuning{});
  for (std::size_t i = 0; i < pitches.size(); ++i) {
    NoteResult row;
    row.index = static_cast<int>(i);
    row.status = NoteStatus::sung;
    fill_row(row, pitches[i], decoded.notes[i], result.settings.a4_hz);
    if (row.unclear_reason) row.verdict = Verdict::unclear;
    row.match_confidence.reset();
    result.notes.push_back(std::move(row));
  }
  std::vector<NamedNote> notes = clear_notes(result.notes);
  name_notes(result, notes, tuning);
}

}  // namespace firmus::take
