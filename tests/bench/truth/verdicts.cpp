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

/// The true error of each note that counts, against the singer's own tuning.
std::map<int, double> true_errors(const TruthTake& take) {
  std::vector<JudgedNote> notes;
  for (const TrueNote& note : take.notes)
    if (note.status == NoteStatus::sung && note.written)
      notes.push_back(
          {*note.written, (note.onset_s + note.end_s) / 2, note.hz, take.melody.note(*note.written).target_hz});
  const TuningCurve curve = fit_tuning_curve(notes);
  std::map<int, double> errors;
  for (std::size_t i = 0; i < notes.size(); ++i) errors[notes[i].index] = curve.errors[i].own_cents.value_or(0);
  return errors;
}

bool is_wrong(Verdict verdict, double true_cents, double tolerance_cents) {
  switch (verdict) {
    case Verdict::in_tune:
      return std::abs(true_cents) > tolerance_cents + margin_cents;
    case Verdict::sharp:
      return true_cents < tolerance_cents - margin_cents || true_cents > other_note_cents + margin_cents;
    case Verdict::flat:
      return -true_cents < tolerance_cents - margin_cents || -true_cents > other_note_cents + margin_cents;
    case Verdict::other_note:
      return std::abs(true_cents) < other_note_cents - margin_cents;
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
  const std::map<int, double> errors = true_errors(take);
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
