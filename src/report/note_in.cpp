#include "result_in.hpp"

namespace firmus::report {
namespace {

std::optional<Vibrato> vibrato_in(const JsonIn& note) {
  const auto vibrato = note.find("vibrato");
  if (!vibrato) return std::nullopt;
  const auto rate_hz = number_in(*vibrato, "rate_hz"), extent_cents = number_in(*vibrato, "extent_cents");
  if (!rate_hz || !extent_cents) return std::nullopt;
  return Vibrato{*rate_hz, *extent_cents};
}

void read_place(NoteResult& row, const JsonIn& note, int written_notes) {
  row.index = integer_in(note, "index", 0, written_notes - 1);
  row.section = text_in(note, "section");
  row.pass = integer_in(note, "pass");
  row.bar = integer_in(note, "bar");
  row.beat = number_in(note, "beat");
  row.phrase = integer_in(note, "phrase");
  row.word = text_in(note, "word");
  row.written = text_in(note, "written");
  row.written_beats = number_in(note, "written_beats");
}

void read_verdict(NoteResult& row, const JsonIn& note) {
  row.status = note.at("status").one_of<NoteStatus>();
  if (const auto verdict = note.find("verdict")) row.verdict = verdict->one_of<Verdict>();
  if (const auto reason = note.find("unclear_reason")) row.unclear_reason = reason->one_of<UnclearReason>();
}

void read_interval(NoteResult& row, const JsonIn& note) {
  const auto interval = note.find("interval");
  if (!interval) return;
  row.interval_name = text_in(*interval, "name");
  row.interval_direction = direction_in(*interval);
  row.interval_written_cents = number_in(*interval, "written_cents");
}

void read_sound(NoteResult& row, const JsonIn& note) {
  row.onset_s = number_in(note, "onset_s");
  row.end_s = number_in(note, "end_s");
  row.sung_hz = number_in(note, "sung_hz");
  row.sung = text_in(note, "sung");
  if (const auto errors = note.find("error_cents"))
    row.errors = {number_in(*errors, "concert"), number_in(*errors, "own"), number_in(*errors, "interval")};
  row.se_cents = number_in(note, "se_cents");
  row.spread_cents = number_in(note, "spread_cents");
  row.slope_cents_per_s = number_in(note, "slope_cents_per_s");
  row.scoop_cents = number_in(note, "scoop_cents");
  row.vibrato = vibrato_in(note);
  row.level_dbfs = number_in(note, "level_dbfs");
  row.match_confidence = number_in(note, "match_confidence");
}

}  // namespace

std::optional<Direction> direction_in(const JsonIn& object) {
  const auto direction = object.find("direction");
  if (!direction) return std::nullopt;
  return direction->one_of<Direction>();
}

NoteResult note_in(const JsonIn& note, int written_notes) {
  NoteResult row;
  read_place(row, note, written_notes);
  read_verdict(row, note);
  read_interval(row, note);
  read_sound(row, note);
  return row;
}

}  // namespace firmus::report
