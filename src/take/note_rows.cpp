#include "note_rows.hpp"

#include "measure/measure.hpp"

namespace firmus::take {
namespace {

/// The written note that the interval into note `index` starts from: grace notes are skipped, since none is judged.
const WrittenNote* note_before(const Melody& melody, int index) {
  if (melody.notes[static_cast<std::size_t>(index)].grace) return nullptr;
  for (auto before = static_cast<std::size_t>(index); before-- > 0;)
    if (!melody.notes[before].grace) return &melody.notes[before];
  return nullptr;
}

}  // namespace

NoteResult row_of(const Melody& melody, int index) {
  const WrittenNote& note = melody.notes[static_cast<std::size_t>(index)];
  NoteResult row;
  row.index = index;
  if (!note.section.empty()) {
    row.section = note.section;
    row.pass = note.pass;
  }
  row.bar = note.bar;
  if (note.beat) row.beat = note.beat->value();
  row.phrase = note.phrase;
  row.word = note.word;
  row.written = pitch_name(note.pitch);
  row.written_beats = note.beats.value();
  row.may_be_left_out = note.may_be_left_out();
  row.status = NoteStatus::missing;
  if (const WrittenNote* before = note_before(melody, index)) {
    const Interval interval = interval_between(before->pitch, note.pitch);
    row.interval_name = interval_name(interval);
    row.interval_direction = interval.direction;
    row.interval_written_cents = cents_between(before->target_hz, note.target_hz);
  }
  return row;
}

void fill_row(NoteResult& row, const NotePitch& pitch, const DecodedNote& note, double a4_hz,
              const std::optional<Key>& key) {
  row.onset_s = note.onset_s;
  row.end_s = note.end_s;
  row.sung_hz = pitch.hz;
  if (pitch.hz) row.sung = pitch_name(nearest_pitch(Hertz(*pitch.hz), Hertz(a4_hz), key));
  row.se_cents = pitch.se_cents;
  row.spread_cents = pitch.spread_cents;
  row.slope_cents_per_s = pitch.slope_cents_per_s;
  row.scoop_cents = pitch.scoop_cents;
  row.vibrato = pitch.vibrato;
  row.level_dbfs = pitch.level_dbfs;
  row.unclear_reason = pitch.unclear;
  row.match_confidence = note.match_confidence;
}

}  // namespace firmus::take
