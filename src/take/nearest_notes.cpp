#include <cmath>

#include "assemble.hpp"
#include "note_rows.hpp"

namespace firmus::take {

void measure_against_nearest_notes(Result& result, const Recording& take, const Decoded& decoded,
                                   std::span<const float> refined_hz) {
  const Tuning tuning = parse_tuning(result.settings.tuning, Key{}).value_or(Tuning{});
  const MeasuredTake measured(take.samples, refined_hz, decoded.notes);
  int index = 0;
  for (const auto& note : decoded.notes) {
    NoteResult row;
    row.index = index++;
    row.status = NoteStatus::sung;
    measure_into_row(row, measured, note, result.settings.a4_hz);
    if (row.sung_hz) {
      const SpelledPitch nearest = nearest_pitch(Hertz(*row.sung_hz), result.settings.a4_hz);
      row.written = pitch_name(nearest);
      row.errors.concert_cents = cents_between(target_hz(nearest, tuning, result.settings.a4_hz), Hertz(*row.sung_hz));
    }
    if (row.unclear_reason)
      row.verdict = Verdict::unclear;
    else if (row.errors.concert_cents)
      row.verdict = verdict_of(*row.errors.concert_cents, 0, row.se_cents.value_or(0), result.settings.tolerance_cents);
    row.match_confidence.reset();
    result.notes.push_back(std::move(row));
  }
  result.settings.reference = Reference::concert;
}

}  // namespace firmus::take
