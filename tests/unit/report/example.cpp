#include "example.hpp"

namespace firmus::example {
namespace {

constexpr const char* written[] = {"D4", "F#4", "A4", "B4", "B4", "A4", "G4", "F#4"};
constexpr const char* words[] = {"Light", "the", "lan-", "tern", "walk", "the", "long", "way"};

void place(NoteResult& note, int index) {
  note.index = index;
  note.pass = 1;
  note.bar = 1 + index / 3;
  note.beat = 1 + index % 3;
  note.phrase = 1;
  note.written = written[index];
  note.written_beats = 1;
  note.word = words[index];
}

NoteResult unwritten(NoteStatus status, double onset_s, double end_s) {
  NoteResult note;
  note.status = status;
  note.onset_s = onset_s;
  note.end_s = end_s;
  note.sung_hz = 220.00004;
  note.sung = "A3";
  return note;
}

void fill_summary(Result& result) {
  Summary& s = result.summary;
  s.written = 8;
  s.judged = 6;
  s.in_tune = 3;
  s.sharp = 1;
  s.flat = 1;
  s.other_note = 1;
  s.missing = 1;
  s.extra = 1;
  s.unclear = 1;
  s.in_tune_share = 0.5;
  s.judged_share = 0.75;
  s.accuracy_cents = -0.04;
  s.precision_cents = 61.26;
  s.mean_abs_cents = 43.2;
}

void fill_alignment(Result& result) {
  result.melody = MelodyFacts{"Lantern Walk", std::string(64, 'a'), "D4 F#4 A4 | B4\n", "D major", "3/4", "96", 8};
  result.alignment_confidence = 0.97;
  result.matched_share = 0.875;
  result.attempts = {{0.2, 1.0, 0, 1, 2, 0, 0, false}, {1.1, 9.5, 0, 7, 7, 1, 1, true}};
  result.centre_a4_hz = 437.6234;
  result.centre_cents = -9.4;
  result.transposition_semitones = -12;
  KeySegment key_segment;
  key_segment.to_index = 7;
  key_segment.transposition_semitones = -12;
  key_segment.centre_cents = -9.4;
  key_segment.centre_se_cents = 3;
  result.key_segments = {key_segment};
  result.tempo_bpm = 91.34;
}

}  // namespace

NoteResult sung_note(int index, double onset_s, double own_cents, Verdict verdict) {
  NoteResult note;
  place(note, index);
  note.verdict = verdict;
  note.onset_s = onset_s;
  note.end_s = onset_s + 0.9;
  note.sung_hz = 146.83;
  note.sung = "D3";
  note.errors = {own_cents - 9.4, own_cents, std::nullopt};
  note.se_cents = 1.25;
  note.spread_cents = 8;
  note.slope_cents_per_s = -21;
  note.level_dbfs = -21.3;
  note.match_confidence = 0.98;
  return note;
}

Result measured() {
  Result result;
  result.take = {"ana.flac", std::string(64, '0'), 44100, 1, 9.75};
  result.signal_quality.level_dbfs = -18.24;
  result.signal_quality.snr_db = 41;
  fill_alignment(result);
  NoteResult restart = unwritten(NoteStatus::restart, 0.2, 0.9);
  NoteResult missing;
  place(missing, 4);
  missing.status = NoteStatus::missing;
  NoteResult unclear = sung_note(6, 7.2, 3, Verdict::unclear);
  unclear.unclear_reason = UnclearReason::too_short;
  unclear.errors = {};
  NoteResult other = sung_note(7, 8.2, -183.4, Verdict::other_note);
  other.sung = "E3";
  NoteResult sixth = sung_note(3, 4.1, -38.26, Verdict::flat);
  sixth.errors.interval_cents = -41.0;
  sixth.interval_name = "M6";
  sixth.interval_direction = Direction::up;
  sixth.interval_written_cents = 900;
  sixth.vibrato = Vibrato{5.6, 42};
  sixth.scoop_cents = -80;
  result.notes = {restart,
                  sung_note(0, 1.1, -0.04, Verdict::in_tune),
                  sung_note(1, 2.1, 12, Verdict::in_tune),
                  sung_note(2, 3.1, 31, Verdict::sharp),
                  sixth,
                  missing,
                  unwritten(NoteStatus::extra, 5.2, 5.4),
                  sung_note(5, 6.1, -3, Verdict::in_tune),
                  unclear,
                  other};
  HabitRow row;
  row.decision = HabitDecision::chronic;
  row.group = "interval";
  row.name = "M6";
  row.direction = Direction::up;
  row.count = 3;
  row.same_way = 3;
  row.mean_cents = -27;
  row.lowest_cents = -41;
  row.highest_cents = -13;
  row.ci95_cents = {{-33.5, -20.5}};
  row.contrast_cents = -29.5;
  row.contrast_ci95_cents = {{-36, -23}};
  row.out_of_tune = 2;
  row.p = 0.0004;
  row.p_adjusted = 0.012;
  row.indices = {3, 5, 6};
  row.aliases = {"degree 6"};
  row.confounders = {"register high"};
  row.minimum_detectable_cents = 14;
  result.habits = {row};
  fill_summary(result);
  result.trust = {6, 7, 4.6};
  return result;
}

Since since() {
  Since since;
  since.take = "lessons/ana-1.flac";
  since.date = "2026-11-03";
  since.notes = 5;
  since.then_mean_abs_cents = 24.04;
  since.now_mean_abs_cents = 16.9;
  since.change_cents = -7.14;
  since.change_ci95_cents = {{-12.04, -2.2}};
  since.verdict = SinceVerdict::better;
  since.off_then = 3;
  since.off_then_in_tune_now = 2;
  since.in_tune_then = 3;
  since.in_tune_then_off_now = 1;
  since.solved = {{"interval", "M3", Direction::up, -38.2, -2.1, {20.1, 52.3}, {1, 2}},
                  {"spot", "bar 2 beat 3", std::nullopt, 102, 3, {-140.2, -60.1}, {5}}};
  since.appeared = {{"spot", "bar 1 beat 3", std::nullopt, 0.4, 31, {12.2, 50}, {2}}};
  return since;
}

Result not_measured() {
  Result result;
  result.take.name = "gone.wav";
  result.error = NotMeasured{"missing", "there is no such file", "check the name"};
  return result;
}

}  // namespace firmus::example
