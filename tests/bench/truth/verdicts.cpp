// Verdicts held against the truth.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "judge.hpp"
#include "measure/measure.hpp"

namespace firmus::truth {
namespace {

constexpr double margin_cents = 10, other_note_cents = 100;

struct TrueError {
  double own_cents = 0;  ///< against the singer's own tuning
  bool other_note = false;
};

/// Of each note that counts, by written index.
std::map<int, TrueError> true_errors(const TruthTake& take) {
  std::vector<JudgedNote> notes;
  for (const TrueNote& note : take.notes) {
    if (note.status != NoteStatus::sung || !note.written) continue;
    const WrittenNote& written = take.melody.note(*note.written);
    notes.push_back({*note.written, (note.onset_s + note.end_s) / 2, note.hz, written.target_hz, written.phrase});
  }
  const TuningCurve curve = fit_tuning_curve(notes);
  std::vector<NoteToName> to_name;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const WrittenNote& written = take.melody.note(notes[i].index);
    to_name.push_back({written.pitch, written.key, curve.errors[i].own_cents.value_or(0)});
  }
  const std::vector<bool> other = sung_as_other_notes(to_name, take.melody.tuning);
  std::map<int, TrueError> errors;
  for (std::size_t i = 0; i < notes.size(); ++i) errors[notes[i].index] = {to_name[i].own_cents, other[i]};
  return errors;
}

/// Another note, or one that is off: at a limit between the two either will do.
bool is_wrong(Verdict verdict, const TrueError& truth, double tolerance_cents) {
  const double off_cents = truth.own_cents;
  switch (verdict) {
    case Verdict::in_tune:
      return std::abs(off_cents) > tolerance_cents + margin_cents;
    case Verdict::sharp:
      return off_cents < tolerance_cents - margin_cents || off_cents > other_note_cents + margin_cents;
    case Verdict::flat:
      return -off_cents < tolerance_cents - margin_cents || -off_cents > other_note_cents + margin_cents;
    case Verdict::other_note:
      return !truth.other_note && std::abs(off_cents) < other_note_cents - margin_cents;
    case Verdict::unclear:
      break;
  }
  return false;
}

const TrueNote* truth_of(const TruthTake& take, int index) {
  const auto found = std::ranges::find_if(
      take.notes, [index](const TrueNote& note) { return note.status == NoteStatus::sung && note.written == index; });
  return found == take.notes.end() ? nullptr : &*found;
}

}  // namespace

bool is_trusted(const Result& result) {
  const bool is_warned = std::ranges::any_of(
      result.signal_quality.warnings, [](const RecordingWarning& w) { return w.kind != RecordingFault::given_notes; });
  return result.decision == AlignmentDecision::sure && !is_warned && result.trust.notes > 0;
}

int wrong_verdicts(const TruthTake& take, const Result& result, std::vector<std::string>& told) {
  const std::map<int, TrueError> errors = true_errors(take);
  int wrong = 0;
  const auto is_false = [&](const NoteResult& note) {
    const TrueNote* truth = truth_of(take, *note.index);
    if (note.status == NoteStatus::missing) return truth != nullptr;
    if (note.status != NoteStatus::sung || !note.verdict || note.verdict == Verdict::unclear) return false;
    if (truth == nullptr || !note.onset_s || std::abs(*note.onset_s - truth->onset_s) > onset_right_s) return true;
    return is_wrong(*note.verdict, errors.at(*note.index), result.settings.tolerance_cents.value());
  };
  for (const NoteResult& note : result.notes) {
    if (!note.index || !is_false(note)) continue;
    ++wrong;
    told.push_back(fmt::format("{}: WRONG WHILE SURE: note {}: {} {}", take.id, *note.index, to_string(note.status),
                               note.verdict ? to_string(*note.verdict) : ""));
  }
  return wrong;
}

}  // namespace firmus::truth
