#include <algorithm>

#include "base/statistics.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {
namespace {

/// With an even chance of being in tune at each note, five in a row happen 1 time in 32.
constexpr int required_run = 5;

const NoteResult* result_of(std::span<const NoteResult> notes, int index) {
  const auto found = std::find_if(notes.begin(), notes.end(), [&](const NoteResult& n) { return n.index == index; });
  return found == notes.end() ? nullptr : &*found;
}

}  // namespace
}  // namespace firmus::practice

namespace firmus {

std::optional<DrillProgress> drill_progress(const Melody& melody, std::span<const NoteResult> notes,
                                            Reference reference) {
  if (!melody.drill) return std::nullopt;
  DrillProgress progress;
  progress.aim = *melody.drill;
  progress.aim.notes.clear();
  std::vector<double> cents;
  int run = 0;
  for (const int index : melody.drill->notes) {
    ++progress.notes;
    const NoteResult* note = practice::result_of(notes, index);
    if (note && note->verdict == Verdict::unclear) continue;  // neither ends a run nor lengthens it
    const bool in_tune = note && note->verdict == Verdict::in_tune;
    run = in_tune ? run + 1 : 0;
    progress.in_tune += in_tune;
    progress.most_in_a_row = std::max(progress.most_in_a_row, run);
    if (!note || !note->verdict) continue;
    ++progress.judged;
    const auto error = error_against(note->errors, reference);
    if (error && note->verdict != Verdict::other_note) cents.push_back(*error);
  }
  if (!cents.empty()) progress.mean_cents = mean_and_sd(cents).mean;
  progress.done = progress.most_in_a_row >= std::min(practice::required_run, progress.notes);
  return progress;
}

}  // namespace firmus
