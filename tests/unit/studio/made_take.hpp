// Results with notes made by hand.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::testing {

inline NoteResult written_note(int index, NoteStatus status = NoteStatus::missing) {
  NoteResult note;
  note.index = index;
  note.written = "A4";
  note.written_beats = 1.0;
  note.bar = index + 1;
  note.status = status;
  return note;
}

inline NoteResult sung_note(int index, double own_cents, Verdict verdict, double se_cents = 1.0) {
  NoteResult note = written_note(index, NoteStatus::sung);
  note.verdict = verdict;
  note.onset_s = index;
  note.end_s = index + 0.9;
  note.errors = {own_cents + 5, own_cents, std::nullopt};
  note.se_cents = se_cents;
  return note;
}

inline NoteResult extra_note(double onset_s, double length_s) {
  NoteResult note;
  note.status = NoteStatus::extra;
  note.onset_s = onset_s;
  note.end_s = onset_s + length_s;
  return note;
}

/// A take that matches its melody, with the counts of its notes.
inline Result take_of(std::vector<NoteResult> notes) {
  Result result;
  result.melody = MelodyFacts{"Kite", "", "A4", {}, {}, {}, 0};
  result.matched_share = 1;
  result.alignment_confidence = 1;
  for (const NoteResult& note : notes) {
    Summary& summary = result.summary;
    summary.written += note.index.has_value();
    summary.missing += note.status == NoteStatus::missing;
    summary.in_tune += note.verdict == Verdict::in_tune;
    summary.judged += note.verdict && *note.verdict != Verdict::unclear;
  }
  if (result.summary.written > 0)
    result.summary.judged_share = result.summary.judged / static_cast<double>(result.summary.written);
  if (result.summary.judged > 0)
    result.summary.in_tune_share = result.summary.in_tune / static_cast<double>(result.summary.judged);
  result.notes = std::move(notes);
  return result;
}

}  // namespace firmus::testing
