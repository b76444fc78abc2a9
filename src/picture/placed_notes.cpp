#include "placed_notes.hpp"

#include <algorithm>

#include "firmus/theory.hpp"
#include "report/words.hpp"

namespace firmus::picture {
namespace {

constexpr double midi_a4_hz = 440;  // of MIDI note numbers, whatever the concert pitch of the take

/// The error against the step line. Measured by intervals, a note is drawn against the tuning of the take, since an
/// interval has no pitch of its own.
std::optional<double> line_error(const Result& result, const NoteResult& note) {
  if (result.melody && result.settings.reference == Reference::interval) return note.errors.own_cents;
  return report::error_of(result, note);
}

/// MIDI note numbers of written pitches in the tuning of the take.
class WrittenPitchScale {
 public:
  explicit WrittenPitchScale(const Result& result) {
    const auto key = result.melody && result.melody->key ? parse_key(*result.melody->key) : std::nullopt;
    tuning_ = parse_tuning(result.settings.tuning, key.value_or(Key{}));
  }
  double midi_pitch_of(const SpelledPitch& pitch) const {
    const double offset = tuning_ ? tuning_offset_cents(*tuning_, pitch) : Cents(0);
    return midi_key(pitch) + (pitch.deviation_cents + offset) / 100;
  }

 private:
  std::optional<Tuning> tuning_;
};

std::optional<double> written_midi_pitch(const WrittenPitchScale& tuning, const NoteResult& note) {
  if (!note.written) return std::nullopt;
  const auto pitch = parse_pitch(*note.written);
  if (!std::holds_alternative<SpelledPitch>(pitch)) return std::nullopt;
  return tuning.midi_pitch_of(std::get<SpelledPitch>(pitch));
}

/// Without a melody the nearest note is the target.
std::optional<double> nearest_midi_pitch(const Result& result, const NoteResult& note) {
  if (result.melody || !note.sung_hz || !note.errors.concert_cents) return std::nullopt;
  return midi_from_hz(Hertz(*note.sung_hz), result.settings.a4_hz) - *note.errors.concert_cents / 100;
}

std::optional<double> known_shift(const Result& result, const PlacedNote& placed) {
  const auto error = line_error(result, *placed.note);
  if (!error || !placed.note->sung_hz || !placed.midi_pitch) return std::nullopt;
  return midi_from_hz(Hertz(*placed.note->sung_hz), Hertz(midi_a4_hz)) - *error / 100 - *placed.midi_pitch;
}

double distance_s(const PlacedNote& note, double time_s) {
  return std::max({note.onset_s - time_s, time_s - note.end_s, 0.0});
}

/// A note without an error takes the shift of the nearest note that has one.
void fill_shifts(const Result& result, std::vector<PlacedNote>& notes) {
  std::vector<PlacedNote> known;
  for (PlacedNote& placed : notes)
    if (const auto shift_semitones = known_shift(result, placed))
      placed.shift_semitones = *shift_semitones, known.push_back(placed);
  const double fallback = result.transposition_semitones.value_or(0);
  for (PlacedNote& placed : notes)
    if (!known_shift(result, placed))
      placed.shift_semitones = known.empty() ? fallback : shift_at(known, (placed.onset_s + placed.end_s) / 2);
}

}  // namespace

std::vector<PlacedNote> place_notes(const Result& result) {
  const WrittenPitchScale tuning(result);
  const bool is_written = report::result_status_of(result) != report::ResultStatus::not_this_melody;
  std::vector<PlacedNote> notes;
  for (const NoteResult& note : result.notes) {
    if (!note.onset_s || !note.end_s) continue;
    PlacedNote placed{&note, *note.onset_s, *note.end_s, std::nullopt, 0};
    if (is_written && (note.status == NoteStatus::sung || !result.melody))
      placed.midi_pitch = result.melody ? written_midi_pitch(tuning, note) : nearest_midi_pitch(result, note);
    notes.push_back(placed);
  }
  std::stable_sort(notes.begin(), notes.end(),
                   [](const PlacedNote& a, const PlacedNote& b) { return a.onset_s < b.onset_s; });
  fill_shifts(result, notes);
  return notes;
}

double shift_at(std::span<const PlacedNote> notes, double time_s) {
  const auto after =
      std::partition_point(notes.begin(), notes.end(), [&](const PlacedNote& note) { return note.onset_s <= time_s; });
  if (after == notes.begin()) return notes.front().shift_semitones;
  if (after == notes.end()) return notes.back().shift_semitones;
  const PlacedNote& before = *(after - 1);
  return distance_s(before, time_s) <= distance_s(*after, time_s) ? before.shift_semitones : after->shift_semitones;
}

std::optional<double> own_hz(const PlacedNote& note) {
  if (!note.midi_pitch) return std::nullopt;
  return hz_from_midi(*note.midi_pitch + note.shift_semitones, Hertz(midi_a4_hz));
}

std::optional<double> concert_hz(const NoteResult& note) {
  if (!note.sung_hz || !note.errors.concert_cents) return std::nullopt;
  return transposed(Hertz(*note.sung_hz), Cents(-*note.errors.concert_cents));
}

}  // namespace firmus::picture
