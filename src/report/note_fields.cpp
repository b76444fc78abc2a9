#include <array>
#include <stdexcept>

#include "fields.hpp"
#include "firmus/report.hpp"

namespace firmus::report {
namespace {

constexpr int beat_decimals = 4;

template <class T>
Cell name_of(const std::optional<T>& value) {
  return value ? Cell(std::string(to_string(*value))) : Cell();
}

Cell beats_of(const std::optional<double>& value) {
  return value ? Cell(Number{*value, beat_decimals, true}) : Cell();
}

Cell vibrato_of(const NoteResult& note, double Vibrato::*part, int decimals) {
  return note.vibrato ? Cell(Number{(*note.vibrato).*part, decimals}) : Cell();
}

Cell sung_name(const NoteRow& row) {
  return cell_of(row.note.sung);
}

using NoteField = Field<NoteRow>;
// `sung` stands at two places, since the order of the columns and the order of the keys are both fixed.
constexpr std::array note_columns{
    NoteField{"take", "", "", "name of the take", [](const NoteRow& r) { return Cell(r.result.take.name); }},
    NoteField{"index", "index", "", "written note, from 0; empty for a note that belongs to none",
              [](const NoteRow& r) { return cell_of(r.note.index); }},
    NoteField{"section", "section", "", "section of the melody",
              [](const NoteRow& r) { return cell_of(r.note.section); }},
    NoteField{"pass", "pass", "", "which time the section is sung, from 1",
              [](const NoteRow& r) { return cell_of(r.note.pass); }},
    NoteField{"bar", "bar", "", "printed number of the bar; 0 for the upbeat",
              [](const NoteRow& r) { return cell_of(r.note.bar); }},
    NoteField{"beat", "beat", "beats", "where in the bar, from 1",
              [](const NoteRow& r) { return beats_of(r.note.beat); }},
    NoteField{"phrase", "phrase", "", "phrase, from 1", [](const NoteRow& r) { return cell_of(r.note.phrase); }},
    NoteField{"word", "word", "", "its syllable", [](const NoteRow& r) { return cell_of(r.note.word); }},
    NoteField{"written", "written", "", "the written note", [](const NoteRow& r) { return cell_of(r.note.written); }},
    NoteField{"written_beats", "written_beats", "beats", "its written length",
              [](const NoteRow& r) { return beats_of(r.note.written_beats); }},
    NoteField{"status", "status", "",
              "sung, missing, extra, restart or optional_left_out; not_measured for a whole take",
              [](const NoteRow& r) { return Cell(std::string(to_string(r.note.status))); }},
    NoteField{"verdict", "verdict", "", "in_tune, sharp, flat, other_note or unclear; empty where none is due",
              [](const NoteRow& r) { return name_of(r.note.verdict); }},
    NoteField{"unclear_reason", "unclear_reason", "", "too_short, noisy, unstable, two_voices or clipped",
              [](const NoteRow& r) { return name_of(r.note.unclear_reason); }},
    NoteField{"sung", "", "", "nearest note name, in the octave that sounds", sung_name},
    NoteField{"onset_s", "onset_s", "s", "where it begins in the take",
              [](const NoteRow& r) { return cell_of(r.note.onset_s, seconds_decimals); }},
    NoteField{"end_s", "end_s", "s", "where it ends in the take",
              [](const NoteRow& r) { return cell_of(r.note.end_s, seconds_decimals); }},
    NoteField{"sung_hz", "sung_hz", "Hz", "centre of its pitch over the steady part",
              [](const NoteRow& r) { return cell_of(r.note.sung_hz, hz_decimals); }},
    NoteField{"", "sung", "", "nearest note name, in the octave that sounds", sung_name},
    NoteField{"error_concert_cents", "error_cents.concert", "cents",
              "sung minus written at concert pitch, in the octave sung",
              [](const NoteRow& r) { return cell_of(r.note.errors.concert_cents, cents_decimals); }},
    NoteField{"error_own_cents", "error_cents.own", "cents", "the same against the take's own centre line",
              [](const NoteRow& r) { return cell_of(r.note.errors.own_cents, cents_decimals); }},
    NoteField{"error_interval_cents", "error_cents.interval", "cents",
              "sung minus written interval, from the last judged written note before",
              [](const NoteRow& r) { return cell_of(r.note.errors.interval_cents, cents_decimals); }},
    NoteField{"interval", "interval.name", "", "written interval into this note, by spelling",
              [](const NoteRow& r) { return cell_of(r.note.interval_name); }},
    NoteField{"direction", "interval.direction", "", "its direction: up, down or same",
              [](const NoteRow& r) { return name_of(r.note.interval_direction); }},
    NoteField{"", "interval.written_cents", "cents", "its written size, upwards positive",
              [](const NoteRow& r) { return cell_of(r.note.interval_written_cents, cents_decimals); }},
    NoteField{"se_cents", "se_cents", "cents", "standard error of the sung pitch",
              [](const NoteRow& r) { return cell_of(r.note.se_cents, cents_decimals); }},
    NoteField{"spread_cents", "spread_cents", "cents",
              "standard deviation of the pitch within the note, vibrato included",
              [](const NoteRow& r) { return cell_of(r.note.spread_cents, cents_decimals); }},
    NoteField{"slope_cents_per_s", "slope_cents_per_s", "cents/s", "how the pitch moves over the steady part",
              [](const NoteRow& r) { return cell_of(r.note.slope_cents_per_s, cents_decimals); }},
    NoteField{"scoop_cents", "scoop_cents", "cents", "where the note began against its centre; empty within 20 cents",
              [](const NoteRow& r) { return cell_of(r.note.scoop_cents, cents_decimals); }},
    NoteField{"vibrato_rate_hz", "vibrato.rate_hz", "Hz", "cycles of vibrato a second; empty when there is none",
              [](const NoteRow& r) { return vibrato_of(r.note, &Vibrato::rate_hz, hz_decimals); }},
    NoteField{"vibrato_extent_cents", "vibrato.extent_cents", "cents", "vibrato either way from the centre",
              [](const NoteRow& r) { return vibrato_of(r.note, &Vibrato::extent_cents, cents_decimals); }},
    NoteField{"level_dbfs", "level_dbfs", "dBFS", "level, decibels below full scale",
              [](const NoteRow& r) { return cell_of(r.note.level_dbfs, 1); }},
    NoteField{"match_confidence", "match_confidence", "share", "how sure it is that this is that written note, 0 to 1",
              [](const NoteRow& r) { return cell_of(r.note.match_confidence, share_decimals); }},
};

}  // namespace

std::span<const Field<NoteRow>> note_fields() {
  return note_columns;
}

Cell note_cell(const NoteRow& row, std::string_view column) {
  for (const NoteField& field : note_columns)
    if (field.column == column) return field.get(row);
  throw std::logic_error("no such column: " + std::string(column));
}

}  // namespace firmus::report
