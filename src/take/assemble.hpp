// From decoded and measured notes to the rows and figures of a Result.
#pragma once
#include <span>
#include <vector>

#include "decode/decode.hpp"
#include "firmus/result.hpp"
#include "firmus/take.hpp"

namespace firmus {

/// What is known before any note is: settings, context, the file, the recording.
Result describe_take(const Recording& take, const MeasureOptions& options);

/// Rows for every written note and every extra or restart, errors against the three references, verdicts, stretches,
/// alignment.
void fill_from_melody(Result& result, const Recording& take, const Melody& melody, const Decoded& decoded,
                      std::span<const float> refined_hz);

/// Without a melody: each sung note against the nearest of the equal-tempered notes; no alignment.
void fill_nearest_notes(Result& result, const Recording& take, const Decoded& decoded,
                        std::span<const float> refined_hz);

/// Counts, shares, means and how far the recording can be trusted, from the rows.
void summarise(Result& result, bool has_melody);

/// The verdict on one judged note: sharp or flat only when the error passes the tolerance by more than its standard
/// error.
Verdict verdict_of(double error_cents, double own_error_cents, double se_cents, double tolerance_cents);

}  // namespace firmus
