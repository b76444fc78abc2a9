// From decoded and measured notes to the rows and figures of a Result.
#pragma once
#include <span>
#include <vector>

#include "decode/decode.hpp"
#include "firmus/result.hpp"
#include "firmus/take.hpp"
#include "measure/measure.hpp"

namespace firmus::take {

/// A result without notes: settings, context, the file, the quality of the recording.
Result describe_take(const Recording& take, const MeasureOptions& options);

/// Adds a row for every written note and every extra or restart, from the pitch of each decoded note, with errors
/// against the three references, verdicts, key segments, alignment.
void measure_against_melody(Result& result, const Recording& take, const Melody& melody, const Decoded& decoded,
                            std::span<const NotePitch> pitches);

/// The melody of a take without one: its notes in turn, each named as a degree of `key` (of minor keys also the raised
/// sixth and seventh), against the centre and drift of the take. Between two degrees the nearer one is taken; between
/// two that are about as near, the one that makes a step from its neighbours. `decoded` has a note at least. Throws
/// TakeError above the number of notes that a melody may have.
Melody melody_in_key(const Decoded& decoded, const Key& key, const Settings& settings);
/// Makes note i of a take the written note i.
void match_notes_in_turn(Decoded& decoded);
/// Says that the melody was named from the take; where many notes lie outside the key, that it may be another.
void mark_as_named(Result& result);

/// Without a melody or a key: adds a row for each sung note, named by the nearest note of the tuning against the centre
/// and drift of the take, with its errors and no verdict; no alignment.
void measure_against_nearest_notes(Result& result, const Decoded& decoded, std::span<const NotePitch> pitches);

/// Counts, shares, means and the precision of the measurements, from the rows.
void summarise(Result& result, bool has_melody);

/// Verdict on one judged note that is not another note than the written one: sharp or flat where the error exceeds the
/// tolerance by more than its standard error.
Verdict verdict_of(double error_cents, double se_cents, double tolerance_cents);

}  // namespace firmus::take
